// The registry of all external checks of strain mechanics: the tests assert them, their table is printed with the tests.
import type { Check } from './check.ts';
import { areaChecks } from './checks/areas.ts';
import { axialChecks } from './checks/axes.ts';
import { fibreChecks } from './checks/fibres.ts';
import { libraryChecks } from './checks/libraries.ts';
import { plateChecks } from './checks/plates.ts';
import { rosetteChecks } from './checks/rosettes.ts';
import { storageChecks } from './checks/storage.ts';
import { stressChecks } from './checks/stress.ts';
import { uncertaintyChecks } from './checks/uncertainty.ts';

export const mechanicsChecks: readonly Check[] = [
  ...rosetteChecks,
  ...fibreChecks,
  ...stressChecks,
  ...plateChecks,
  ...uncertaintyChecks,
  ...areaChecks,
  ...libraryChecks,
  ...storageChecks,
  ...axialChecks,
];
