// The page's policy forbids making code from text, which the schemas would try; they are told before they are loaded.
Object.assign(globalThis, { __zod_globalConfig: { jitless: true } });
