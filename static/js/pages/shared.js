// Apart: what somebody without an account sees of a rig.
import { FlShared } from "../elements/shared.js";

customElements.define("fl-shared", FlShared);
