// The version of this program, as its manifest says.
import manifest from '../../package.json' with { type: 'json' };

export const version: string = manifest.version;
