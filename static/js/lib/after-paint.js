/** Work that waits until the screen has been painted, so that what is seen does not wait for it. */
export class AfterPaint {
  /** @type {(() => void)|null} */
  #work = null;

  /** @param {() => void} work */
  wait(work) {
    this.#work = work;
    requestAnimationFrame(() => setTimeout(() => this.catchUp()));
    setTimeout(() => this.catchUp(), 100); // a page in the background paints no frames
  }

  /** Does at once what still waits. */
  catchUp() {
    const work = this.#work;
    this.#work = null;
    work?.();
  }
}
