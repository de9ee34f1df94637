import assert from 'node:assert/strict';
import { placeText } from '../../../src/core/display/text/placeText.ts';
import * as units from '../../../src/core/display/units.ts';

describe('units', () => {
  it('take SI values to what people read', () => {
    assert.equal(units.measureIn(units.microstrain, -41.2e-6), '−41.2 µm/m');
    assert.equal(units.measureIn(units.megapascal, 276e6), '276 MPa');
    assert.equal(units.measureIn(units.gigapascal, 68.9e9), '68.9 GPa');
    assert.equal(units.measureIn(units.micrometres, 30e-6), '30.0 µm');
    assert.equal(units.measureIn(units.degrees, Math.PI / 6), '30.0°');
    assert.equal(units.measureIn(units.kelvin, NaN), '–');
  });

  it('are spelled in files without signs beyond ASCII', () => {
    for (const one of Object.values(units)) if (typeof one === 'object') assert.match(one.unit, /^[\x20-\x7e]*$/);
  });

  it('tell a place on the plate and how well it is known', () => {
    assert.equal(placeText([0.075, 0.1204], 0.0082), '75, 120 mm, spread 8.20 mm');
  });
});
