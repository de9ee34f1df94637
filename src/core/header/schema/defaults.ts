// What holds where the header is silent: shown by hover and completion, used when the header is resolved.
// Gains: silica fibre, effective photo-elastic coefficient 0.22 (Kersey et al., J. Lightwave Technol. 15, 1997); swept-
// wavelength shift at 1550 nm (193.414 THz) with strain coefficient 0.78 and thermal coefficient 6.45e-6 1/K of the free
// fibre; the glass expands by 0.55e-6 1/K, so that at constant length 0.78 * 0.55e-6 1/K is taken off. The published
// figures are from memory; they differ between fibres, which is why a header that leans on them is told so.

export const defaults = {
  thickness: '25 mm',
  datumWindow: 'the first two minutes',
  falseAlarmBudget: '200 h',
  smallestJump: '0.5 um/m',
  strainGain: 0.78,
  thermalGain: '6.5e-6 1/K',
  apparentStrain: '0 1/K',
  strainSlope: '-0.1509 GHz/(um/m)',
  thermalSlope: '-1.165 GHz/K',
} as const;
