// What stands at the top of a service worker; the library knows it by `self` alone.
declare function addEventListener<Name extends keyof ServiceWorkerGlobalScopeEventMap>(
  name: Name,
  heed: (event: ServiceWorkerGlobalScopeEventMap[Name]) => unknown,
): void;
declare const clients: Clients;
declare const registration: ServiceWorkerRegistration;
declare function skipWaiting(): Promise<void>;
