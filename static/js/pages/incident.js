// Noting what went wrong with a rig.
import { FlPhotos } from "../elements/photos.js";
import { FlIncident } from "../incident/new-incident.js";

customElements.define("fl-photos", FlPhotos);
customElements.define("fl-incident", FlIncident);
