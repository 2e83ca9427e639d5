// The solid, drawn: a GLB of the service on the page's axis, turned about its long axis and bent along its stations.

import {
  AmbientLight,
  BufferAttribute,
  Color,
  DataTexture,
  DirectionalLight,
  DoubleSide,
  FloatType,
  Group,
  HemisphereLight,
  Mesh,
  MeshPhysicalMaterial,
  NearestFilter,
  type MeshStandardMaterial,
  OrthographicCamera,
  RGBAFormat,
  Scene,
  WebGLRenderer,
} from "three";
import { GLTFLoader } from "three/examples/jsm/loaders/GLTFLoader.js";
import { PLACES } from "./motion.ts";

/** What a bait takes, in mm, before it is turned. */
export interface Extent {
  side: number;
  up: number;
}

const AROUND = 24;
const SIDES = Array.from({ length: AROUND }, (_, n) => [Math.cos((2 * Math.PI * n) / AROUND), Math.sin((2 * Math.PI * n) / AROUND)] as const);
const MM = 1000; // a GLB is in metres

export class Solid {
  readonly canvas: HTMLCanvasElement;
  private readonly renderer: WebGLRenderer;
  private readonly scene = new Scene();
  private readonly camera = new OrthographicCamera(0, 1, 1, 0, -500, 500);
  private readonly loader = new GLTFLoader();
  private readonly bend = new DataTexture(new Float32Array((PLACES + 1) * 4), PLACES + 1, 1, RGBAFormat, FloatType);
  private readonly uniforms = { bend: { value: this.bend }, hold: { value: 0 }, stretch: { value: 1 }, roll: { value: 0 } };
  /** Counts the solids that were shown. */
  version = 0;
  private shown: Group | null = null;
  extent: Extent = { side: 10, up: 10 };
  /** Of its sections' outermost points, y and z in turn: enough to know how high it stands however it is turned. */
  private rim = new Float32Array(0);

  /** Throws where the browser draws no 3D; tells once if it stops. */
  constructor(stopped: () => void) {
    this.renderer = new WebGLRenderer({ antialias: true, alpha: true, powerPreference: "low-power" });
    this.canvas = this.renderer.domElement;
    this.canvas.addEventListener("webglcontextlost", stopped, { once: true });
    this.renderer.setPixelRatio(Math.min(2, window.devicePixelRatio));
    this.bend.minFilter = this.bend.magFilter = NearestFilter;
    const key = new DirectionalLight(0xfff3e0, 2.1);
    key.position.set(-0.4, 1, 0.9);
    const rim = new DirectionalLight(0xdfeeff, 1.1);
    rim.position.set(0.6, -0.5, 0.7);
    this.scene.add(key, rim, new HemisphereLight(0xffffff, 0x8a7f6c, 0.9), new AmbientLight(0xffffff, 0.35));
  }

  get filled(): boolean {
    return this.shown !== null;
  }

  /** Read a solid and put it in the old one's place. */
  async show(glb: ArrayBuffer): Promise<void> {
    const { scene } = await this.loader.parseAsync(glb, "");
    const group = new Group();
    const box = { side: [0, 0], up: [0, 0] };
    const rim = new Float32Array(2 * AROUND);
    scene.updateMatrixWorld(true);
    scene.traverse((one) => {
      if (!(one instanceof Mesh)) return;
      const geometry = one.geometry.clone();
      // Quantised positions become plain millimetres: the bending works on them.
      const position = geometry.getAttribute("position");
      const plain = new Float32Array(position.count * 3);
      for (let n = 0; n < position.count; n++) {
        const p = one.position.clone().set(position.getX(n), position.getY(n), position.getZ(n)).applyMatrix4(one.matrixWorld);
        // glTF has its y upwards; ours is x to the tail, y to the left, z to the back.
        plain.set([p.x * MM, -p.z * MM, p.y * MM], n * 3);
      }
      const normal = geometry.getAttribute("normal");
      const turned = new Float32Array(position.count * 3);
      for (let n = 0; normal && n < normal.count; n++) {
        const v = one.position.clone().set(normal.getX(n), normal.getY(n), normal.getZ(n)).transformDirection(one.matrixWorld);
        turned.set([v.x, -v.z, v.y], n * 3);
      }
      geometry.deleteAttribute("position");
      geometry.deleteAttribute("normal");
      geometry.setAttribute("position", attribute(plain));
      if (normal) geometry.setAttribute("normal", attribute(turned));
      else geometry.computeVertexNormals();
      for (let n = 0; n < plain.length; n += 3) {
        const [y, z] = [plain[n + 1]!, plain[n + 2]!];
        box.side = [Math.min(box.side[0]!, y), Math.max(box.side[1]!, y)];
        box.up = [Math.min(box.up[0]!, z), Math.max(box.up[1]!, z)];
        for (let side = 0; side < AROUND; side++) {
          const [c, s] = SIDES[side]!;
          if (y * s + z * c > rim[2 * side]! * s + rim[2 * side + 1]! * c) rim.set([y, z], 2 * side);
        }
      }
      const made = new Mesh(geometry, this.material(one.material as MeshStandardMaterial));
      made.frustumCulled = false;
      group.add(made);
    });
    if (this.shown) {
      this.scene.remove(this.shown);
      this.shown.traverse((one) => one instanceof Mesh && (one.geometry.dispose(), (one.material as MeshPhysicalMaterial).dispose()));
    }
    this.shown = group;
    this.version++;
    this.extent = { side: box.side[1]! - box.side[0]!, up: box.up[1]! - box.up[0]! };
    this.rim = rim;
    this.scene.add(group);
  }

  /** How far it reaches above and below its long axis when it is turned so, mm. */
  reach(roll: number): { above: number; below: number } {
    let [above, below] = [0, 0];
    for (let n = 0; n < this.rim.length; n += 2) {
      const up = this.rim[n]! * Math.sin(roll) + this.rim[n + 1]! * Math.cos(roll);
      above = Math.max(above, up);
      below = Math.max(below, -up);
    }
    return { above, below };
  }

  /** `x(mm) = left + mm * scale` pixels from the left, the long axis `axis` pixels from the top. */
  draw(width: number, height: number, left: number, scale: number, axis: number, roll: number, hold: number, end: number, slopes: Float32Array): void {
    const size = `${width}x${height}`;
    if (this.canvas.dataset["size"] !== size) {
      this.renderer.setSize(width, height);
      this.canvas.dataset["size"] = size;
    }
    Object.assign(this.camera, { left: -left / scale, right: (width - left) / scale, top: axis / scale, bottom: (axis - height) / scale });
    this.camera.updateProjectionMatrix();
    // The middle line: where each station of it comes to lie, and its slope there.
    const data = this.bend.image.data as Float32Array;
    const step = (end - hold) / PLACES;
    let [x, y] = [hold, 0];
    for (let n = 0; n <= PLACES; n++) {
      const slope = slopes[n]!;
      if (n) {
        const middle = (slope + slopes[n - 1]!) / 2;
        x += Math.cos(middle) * step;
        y -= Math.sin(middle) * step;
      }
      data.set([x, y, slope, 0], n * 4);
    }
    this.bend.needsUpdate = true;
    this.uniforms.hold.value = hold;
    this.uniforms.stretch.value = PLACES / Math.max(1e-6, end - hold);
    this.uniforms.roll.value = roll;
    this.renderer.render(this.scene, this.camera);
  }

  dispose(): void {
    this.canvas.remove();
    this.renderer.dispose();
  }

  private material(told: MeshStandardMaterial): MeshPhysicalMaterial {
    const made = new MeshPhysicalMaterial({
      color: told.color?.clone() ?? new Color(0x6b8e23),
      vertexColors: told.vertexColors,
      roughness: 0.42,
      metalness: 0,
      clearcoat: 0.65,
      clearcoatRoughness: 0.22,
      side: DoubleSide,
      flatShading: false,
    });
    made.onBeforeCompile = (shader) => {
      Object.assign(shader.uniforms, this.uniforms);
      shader.vertexShader = shader.vertexShader
        .replace("#include <common>", `#include <common>\n${BENT}`)
        .replace("#include <beginnormal_vertex>", "vec3 objectNormal = bentNormal(position.x, normal);")
        .replace("#include <begin_vertex>", "vec3 transformed = bentPlace(position);");
      // Soft plastic lets light through where it is thin to the eye: its rim glows in its own colour.
      shader.fragmentShader = shader.fragmentShader.replace(
        "#include <opaque_fragment>",
        "float facing = abs(dot(normal, normalize(vViewPosition)));\noutgoingLight += diffuseColor.rgb * 0.4 * pow(1.0 - facing, 2.2);\n#include <opaque_fragment>",
      );
    };
    return made;
  }
}

const BENT = /* glsl */ `
uniform highp sampler2D bend;
uniform float hold;
uniform float stretch;
uniform float roll;

vec4 middleLine(float x) {
  float at = clamp((x - hold) * stretch, 0.0, ${PLACES}.0);
  int low = int(min(floor(at), ${PLACES - 1}.0));
  vec4 found = mix(texelFetch(bend, ivec2(low, 0), 0), texelFetch(bend, ivec2(low + 1, 0), 0), at - float(low));
  float beyond = x - (hold + at / stretch);
  found.xy += beyond * vec2(cos(found.z), -sin(found.z));
  return found;
}

// Turned about its long axis: how far across the page (away from the reader) and how far up.
vec2 turned(vec2 yz) {
  return vec2(yz.x * cos(roll) - yz.y * sin(roll), yz.x * sin(roll) + yz.y * cos(roll));
}

vec3 bentPlace(vec3 p) {
  vec4 line = middleLine(p.x);
  vec2 q = turned(p.yz);
  return vec3(line.x + q.y * sin(line.z), line.y + q.y * cos(line.z), -q.x);
}

vec3 bentNormal(float x, vec3 n) {
  float slope = middleLine(x).z;
  vec2 q = turned(n.yz);
  return vec3(n.x * cos(slope) + q.y * sin(slope), -n.x * sin(slope) + q.y * cos(slope), -q.x);
}
`;

function attribute(values: Float32Array): BufferAttribute {
  return new BufferAttribute(values, 3);
}
