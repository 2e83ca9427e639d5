/** What is asked and answered, as the service's OpenAPI document has it. */
import type { components } from "../types/schema.js";
type Schemas = components["schemas"];
/** A bait's request: a style and its parameters, or the open form. */
export type Request = Schemas["Request"];
export type FitRequest = Schemas["FitRequest"];
export type Bait = Schemas["Bait"];
export type Check = Schemas["Check"];
export type Remedy = Schemas["Remedy"];
export type File = Schemas["File"] | Schemas["FitFile"];
export type Fit = Schemas["Fit"];
export type Batch = Schemas["Batch"];
export type BatchItem = Schemas["BatchItem"];
export type Link = Schemas["Link"];
export type Style = Schemas["Style"];
export type HouseStyleDefinition = Schemas["HouseStyleDefinition"];
export type Plastic = Schemas["Plastic"];
export type PlasticDefinition = Schemas["PlasticDefinition"];
export type Measurements = Schemas["Measurements"];
export type MeasuredPlastic = Schemas["MeasuredPlastic"];
export type Webhook = Schemas["Webhook"];
export type WebhookDefinition = Schemas["WebhookDefinition"];
export type Event = Schemas["Event"];
export type Problem = Schemas["Problem"];
export type Fault = Schemas["Fault"];
/** Whether it has not ended yet. */
export declare function underWay(record: {
    status: string;
}): boolean;
/** The checks that fail and that the request does not silence. */
export declare function failedChecks(bait: Bait): Check[];
export {};
