// Made from the scripts of the pages by deploy/javascript/elements.mjs; not edited by hand.
import type { FlCheck } from "../../static/js/elements/check.js";
import type { FlChecks } from "../../static/js/elements/checks.js";
import type { FlDue } from "../../static/js/elements/due.js";
import type { FlFiles } from "../../static/js/elements/files.js";
import type { FlInstall } from "../../static/js/elements/install.js";
import type { FlLeftLog } from "../../static/js/elements/left-log.js";
import type { FlMend } from "../../static/js/elements/mend.js";
import type { FlOffline } from "../../static/js/elements/offline.js";
import type { FlOutletStory } from "../../static/js/elements/outlet-story.js";
import type { FlPastCheck } from "../../static/js/elements/past-check.js";
import type { FlPhone } from "../../static/js/elements/phone.js";
import type { FlPhotoTray } from "../../static/js/elements/photo-tray.js";
import type { FlPhotos } from "../../static/js/elements/photos.js";
import type { FlReach } from "../../static/js/elements/reach.js";
import type { FlRigMap } from "../../static/js/elements/rig-map.js";
import type { FlRoom } from "../../static/js/elements/room.js";
import type { FlRound } from "../../static/js/elements/round.js";
import type { FlSaved } from "../../static/js/elements/saved.js";
import type { FlSession } from "../../static/js/elements/session.js";
import type { FlSignOut } from "../../static/js/elements/sign-out.js";
import type { FlTheme } from "../../static/js/elements/theme.js";
import type { FlTray } from "../../static/js/elements/tray.js";
import type { FlTrial } from "../../static/js/elements/trial.js";
import type { FlUnreached } from "../../static/js/elements/unreached.js";
import type { FlUpdate } from "../../static/js/elements/update.js";
import type { FlUses } from "../../static/js/elements/uses.js";
import type { FlWaiting } from "../../static/js/elements/waiting.js";
import type { FlIncident } from "../../static/js/incident/new-incident.js";
import type { FlPlan } from "../../static/js/planner/page.js";
import type { FlChange } from "../../static/js/proving/change.js";
import type { FlGrounds } from "../../static/js/proving/grounds.js";
import type { FlNewChange } from "../../static/js/proving/new-change.js";

declare global {
  interface HTMLElementTagNameMap {
    "fl-check": FlCheck;
    "fl-checks": FlChecks;
    "fl-due": FlDue;
    "fl-files": FlFiles;
    "fl-incident": FlIncident;
    "fl-install": FlInstall;
    "fl-left-log": FlLeftLog;
    "fl-mend": FlMend;
    "fl-new-change": FlNewChange;
    "fl-offline": FlOffline;
    "fl-outlet-story": FlOutletStory;
    "fl-past-check": FlPastCheck;
    "fl-phone": FlPhone;
    "fl-photo-tray": FlPhotoTray;
    "fl-photos": FlPhotos;
    "fl-plan": FlPlan;
    "fl-proofs": FlGrounds | FlChange;
    "fl-reach": FlReach;
    "fl-rig-map": FlRigMap;
    "fl-room": FlRoom;
    "fl-round": FlRound;
    "fl-saved": FlSaved;
    "fl-session": FlSession;
    "fl-sign-out": FlSignOut;
    "fl-theme": FlTheme;
    "fl-tray": FlTray;
    "fl-trial": FlTrial;
    "fl-unreached": FlUnreached;
    "fl-update": FlUpdate;
    "fl-uses": FlUses;
    "fl-waiting": FlWaiting;
  }
}
