import { standing, sync } from "../sync/flush.js";
import { sendPhotos } from "../sync/photos.js";

/**
 * Sends what waits, photos too, and waits for the end of it. A round of photos that was under way may have begun
 * before one of them could go, so there is a second.
 */
export async function sendAll() {
  await sync();
  try {
    for (let round = 0; round < 2 && standing.reached && standing.signedIn && standing.name; round += 1)
      await sendPhotos(standing.name);
  } catch (error) {
    console.warn("The photos could not be sent now.", error);
  }
}
