// Where places are. It stays on this phone, in no record, and is never sent.
import { get, put } from "../outbox/db.js";

/** @typedef {{lat: number, lon: number}} Position */
/** @typedef {Record<string, Position>} Positions by the key of a place */

const KEY = "positions";
const EARTH_M = 6_371_000;
const PATIENCE_MS = 15_000;

/** @returns {Promise<Positions>} */
export const positions = async () => (await get("remembered", KEY)) ?? {};

/** @param {string} place @param {Position|null} where nothing to forget it */
export async function keepPosition(place, where) {
  const { [place]: _, ...others } = await positions();
  await put("remembered", KEY, where ? { ...others, [place]: where } : others);
}

/** Asks the browser, which asks the person. @returns {Promise<Position>} */
export const hereNow = () =>
  new Promise((resolve, reject) => {
    if (!navigator.geolocation) reject(new Error("This browser tells no position here."));
    else
      navigator.geolocation.getCurrentPosition(
        ({ coords }) => resolve({ lat: coords.latitude, lon: coords.longitude }),
        ({ code }) => reject(new Error(code === 1 ? "The position was not allowed." : "The position was not found.")),
        { timeout: PATIENCE_MS, maximumAge: PATIENCE_MS },
      );
  });

/** How far two positions are apart [m], on a sphere. @param {Position} one @param {Position} other */
export function metresApart(one, other) {
  /** @param {number} degrees */
  const radians = (degrees) => (degrees * Math.PI) / 180;
  const [up, across] = [radians(other.lat - one.lat), radians(other.lon - one.lon)];
  const half =
    Math.sin(up / 2) ** 2 + Math.cos(radians(one.lat)) * Math.cos(radians(other.lat)) * Math.sin(across / 2) ** 2;
  return 2 * EARTH_M * Math.asin(Math.sqrt(half));
}

/** @param {number} metres */
export const distanceText = (metres) =>
  metres < 950 ? `${Math.round(metres / 10) * 10} m away` : `${(metres / 1000).toFixed(metres < 9500 ? 1 : 0)} km away`;
