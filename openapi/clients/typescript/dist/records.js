/** Whether it has not ended yet. */
export function underWay(record) {
    return record.status === "accepted" || record.status === "running";
}
/** The checks that fail and that the request does not silence. */
export function failedChecks(bait) {
    return bait.checks.filter((check) => check.verdict === "fail" && !check.silenced);
}
