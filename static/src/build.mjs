/** Bundle the map: static/src/map/index.js with OpenLayers into static/dist/map.js and map.css. */
import { build } from "esbuild";
import { fileURLToPath } from "node:url";

const here = (path) => fileURLToPath(new URL(path, import.meta.url));

await build({
  entryPoints: { map: here("map/index.js") },
  outdir: here("../dist"),
  bundle: true,
  format: "esm",
  minify: true,
  target: ["es2021", "safari15.4"],
  legalComments: "linked",
  logLevel: "warning",
});
