// What is on this phone.
import { FlFiles } from "../elements/files.js";
import { FlFind } from "../elements/find.js";
import { FlInstall } from "../elements/install.js";
import { FlMend } from "../elements/mend.js";
import { FlPhone } from "../elements/phone.js";
import { FlPhotoTray } from "../elements/photo-tray.js";
import { FlRoom } from "../elements/room.js";
import { FlTray } from "../elements/tray.js";

customElements.define("fl-phone", FlPhone);
customElements.define("fl-mend", FlMend);
customElements.define("fl-tray", FlTray);
customElements.define("fl-photo-tray", FlPhotoTray);
customElements.define("fl-files", FlFiles);
customElements.define("fl-find", FlFind);
customElements.define("fl-install", FlInstall);
customElements.define("fl-room", FlRoom);
