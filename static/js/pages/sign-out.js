// Signing out, which asks what becomes of what is on this phone.
import { FlSignOut } from "../elements/sign-out.js";

customElements.define("fl-sign-out", FlSignOut);
