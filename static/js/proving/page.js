// The map of a rig, and the changes to it that are proved.
import { FlPhotos } from "../elements/photos.js";
import { FlRigMap } from "../elements/rig-map.js";
import { FlChange } from "./change.js";
import { FlNewChange } from "./new-change.js";

customElements.define("fl-photos", FlPhotos);
customElements.define("fl-change", FlChange);
customElements.define("fl-new-change", FlNewChange);
customElements.define("fl-rig-map", FlRigMap);
