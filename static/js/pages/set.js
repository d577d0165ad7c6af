// Noting a cord, extension or adapter as a set with a number.
import { FlSet } from "../sets/new-set.js";

customElements.define("fl-set", FlSet);
