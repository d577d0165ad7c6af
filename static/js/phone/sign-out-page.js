import { FlSignOut } from "../elements/sign-out.js";

customElements.define("fl-sign-out", FlSignOut);
