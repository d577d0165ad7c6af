// Apart: trying a phone.
import { FlTrial } from "../elements/trial.js";

customElements.define("fl-trial", FlTrial);
