// What a page has beside the library of types: events of our own, and what only some browsers have.
/** What the html tag makes. */
type Markup = ReturnType<typeof import("../../static/js/lib/html.js").html>;

declare global {
  /** Not in the library: only some browsers have it. */
  interface BeforeInstallPromptEvent extends Event {
    prompt(): Promise<unknown>;
  }

  interface WindowEventMap {
    beforeinstallprompt: BeforeInstallPromptEvent;
  }

  interface DocumentEventMap {
    "fl-half-hour": CustomEvent<Date>;
    "fl-story": CustomEvent<Markup>;
  }

  interface Navigator {
    /** On iOS: whether the app was opened from the home screen. */
    readonly standalone?: boolean;
  }
}

export {};
