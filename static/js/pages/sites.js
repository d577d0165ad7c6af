import { FlSites } from "../elements/sites.js";

customElements.define("fl-sites", FlSites);
