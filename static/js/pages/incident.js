// Noting what went wrong with a rig, or a cord set of it: two pages of one script, since they share nearly all of it.
import { FlPhotos } from "../elements/photos.js";
import { FlIncident } from "../incident/new-incident.js";
import { FlSet } from "../sets/new-set.js";

customElements.define("fl-photos", FlPhotos);
customElements.define("fl-incident", FlIncident);
customElements.define("fl-set", FlSet);
