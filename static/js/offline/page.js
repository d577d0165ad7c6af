import { FlUnreached } from "../elements/unreached.js";

customElements.define("fl-unreached", FlUnreached);
