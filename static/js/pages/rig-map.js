// The map of a rig.
import { FlRigMap } from "../elements/rig-map.js";

customElements.define("fl-rig-map", FlRigMap);
