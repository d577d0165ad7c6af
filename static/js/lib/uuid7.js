/**
 * Makes a UUID of version 7 (RFC 9562): 48 bits of time, then random bits. It needs no secure context.
 * @param {number} [milliseconds] since 1970
 * @returns {string} lower case
 */
export function uuid7(milliseconds = Date.now()) {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  let time = milliseconds;
  for (let i = 5; i >= 0; i--) {
    bytes[i] = time % 256;
    time = Math.floor(time / 256);
  }
  const { 6: seventh = 0, 8: ninth = 0 } = bytes;
  bytes[6] = (seventh & 0x0f) | 0x70;
  bytes[8] = (ninth & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, "0")).join("");
  return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
}
