/** What the server takes, as the schema of a photo's record has it. */
export const TYPES = ["image/jpeg", "image/png", "image/webp"];

export const NO_PICTURE = "is no JPEG, PNG or WebP picture, and the server takes nothing else";
