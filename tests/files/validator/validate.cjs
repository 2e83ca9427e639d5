// Prints, for every GLB file named, the Khronos validator's report as one line of JSON.
// usage: node validate.cjs <folder of node_modules> <file>...
const fs = require("node:fs");
const path = require("node:path");

const [folder, ...files] = process.argv.slice(2);
const validator = require(path.join(path.resolve(folder), "node_modules", "gltf-validator"));

(async () => {
  for (const file of files) {
    const report = await validator.validateBytes(new Uint8Array(fs.readFileSync(file)), {
      uri: path.basename(file),
      format: "glb",
      maxIssues: 100,
    });
    console.log(JSON.stringify(report));
  }
})();
