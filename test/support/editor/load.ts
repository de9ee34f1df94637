// Puts the stand-ins in the places of the editor and of the starting of analyses. Import it first; then import the
// extension's parts with `await import(...)`, since imports at the top of a file are looked up before any of it runs.
import { register } from 'node:module';

const standIns = {
  vscode: new URL('standIn.ts', import.meta.url).href,
  './analysis.node.ts': new URL('analyses.ts', import.meta.url).href,
};

const hook = `
  const standIns = ${JSON.stringify(standIns)};
  export const resolve = (name, context, next) => next(standIns[name] ?? name, context);
`;

register(`data:text/javascript,${encodeURIComponent(hook)}`);
