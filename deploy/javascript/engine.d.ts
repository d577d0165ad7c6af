// The one thing that the engine needs beside the language, so that nothing of a page or a network gets into it.
declare class TextEncoder {
  encode(text: string): Uint8Array;
}
