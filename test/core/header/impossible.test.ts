// What a header says that cannot be right, or is not likely to be: plate, layout, directions, gains, times.
import { all, cases, edited, sampleHeader, without45 } from './sampleHeader.ts';

cases('what cannot be right', [
  [
    'an unusual gain',
    edited(['1552.004 nm, strain_gain: 0.78', '1552.004 nm, strain_gain: ⟦1.21⟧']),
    { code: 'value-unusual', severity: 'warning', says: /0\.5 to 1/ },
  ],
  [
    'a modulus a thousand times too small',
    edited(['68.9 GPa', '⟦68.9 MPa⟧']),
    { code: 'value-unusual', severity: 'warning' },
  ],
  [
    'a slope of the other sign',
    edited(['#   datum:', '#   channel_defaults: {spectral-shift: {strain_slope: ⟦0.15 GHz/(um/m)⟧}}\n#   datum:']),
    { code: 'value-unusual', severity: 'warning' },
  ],
  ['a wavelength of zero', edited(['rest: 1552.004 nm', 'rest: ⟦0 nm⟧']), { code: 'out-of-range', leaves: without45 }],
  [
    'a gain left to its default',
    edited(
      ['#   channels:', '#   ⟦channels⟧:'],
      ['1552.004 nm, strain_gain: 0.78, thermal_gain: 6.5e-6 1/K', '1552.004 nm, strain_gain: 0.78'],
    ),
    { code: 'gain-assumed', severity: 'information', says: /1 bragg channel has no thermal_gain/ },
  ],
  [
    'a start that is no date',
    edited(["'2026-03-02T18:04:00Z'", '⟦yesterday⟧']),
    { code: 'date-unreadable', severity: 'warning' },
  ],
  [
    'no channel at all',
    sampleHeader.replace(/# {3}channels:\n(# {5}B2.*\n)+/, '#   ⟦channels⟧: {}\n'),
    { code: 'channels-missing', leaves: 'stops' },
  ],

  [
    'a plate without thickness',
    edited(['thickness: 30 mm', 'thickness: ⟦0 mm⟧']),
    { code: 'thickness-not-positive', leaves: 'stops' },
  ],
  [
    'a negative thickness',
    edited(['thickness: 30 mm', 'thickness: ⟦-30 mm⟧']),
    { code: 'thickness-not-positive', leaves: 'stops' },
  ],
  ["a Poisson's ratio of 0.5", edited(['0.33', '⟦0.5⟧']), { code: 'poissons-ratio-out-of-range', leaves: 'stops' }],
  ["a Poisson's ratio of -1", edited(['0.33', '⟦-1⟧']), { code: 'poissons-ratio-out-of-range', leaves: 'stops' }],
  ['a modulus of zero', edited(['68.9 GPa', '⟦0 GPa⟧']), { code: 'out-of-range', leaves: 'stops' }],
  [
    'a strain gain of zero',
    edited(['1552.004 nm, strain_gain: 0.78', '1552.004 nm, strain_gain: ⟦0⟧']),
    { code: 'gain-zero', leaves: without45 },
  ],
  [
    'a strain gain of next to nothing',
    edited(['1552.004 nm, strain_gain: 0.78', '1552.004 nm, strain_gain: ⟦1e-300⟧']),
    { code: 'gain-zero', leaves: without45 },
  ],
  [
    'a strain gain of beyond measure',
    edited(['1552.004 nm, strain_gain: 0.78', '1552.004 nm, strain_gain: ⟦-1e300⟧']),
    { code: 'gain-zero', leaves: without45 },
  ],
  ['planes at one height', edited(['height: -9 mm', 'height: ⟦9 mm⟧']), { code: 'planes-coincide' }],
  ['a plane outside the plate', edited(['height: -9 mm', 'height: ⟦-19 mm⟧']), { code: 'height-outside-plate' }],
  [
    'a cell whose place has an error, with what hangs on it',
    edited(
      ['cells: {B2', 'cells: {⟦B2⟧'],
      ['{at: [75 mm, 75 mm]}', '{at: [75 mm, 75 mm]}, B3: {at: [9 mm, 75 mm]}'],
      ['{at: [75 mm, 75 mm]}', '{at: [75 MPa, 75 mm]}'],
      ['B2_T: {cell: B2', 'B2_T: {cell: B3'],
    ),
    {
      code: 'channels-left-out',
      severity: 'information',
      leaves: ['B2_T'],
      says: /3 channels/,
      others: ['unit-mismatch'],
    },
  ],
  [
    'a plane whose height is missing, with what hangs on it',
    edited(['{up: {height: 9 mm}', '{⟦up⟧: {}']),
    {
      code: 'channels-left-out',
      severity: 'information',
      leaves: ['B2_T'],
      says: /3 channels/,
      others: ['height-missing'],
    },
  ],
  [
    'a plane without height where there are two',
    edited(['low: {height: -9 mm}', '⟦low⟧: {}']),
    { code: 'height-missing', leaves: all },
  ],
  [
    'two cells at one place',
    edited(['{B2: {at: [75 mm, 75 mm]}}', '{B2: {at: [75 mm, 75 mm]}, B3: {at: ⟦[7.5 cm, 75 mm]⟧}}']),
    { code: 'cells-coincide', severity: 'warning' },
  ],
  [
    'a cell outside the plate',
    edited(['[75 mm, 75 mm]', '⟦[750 mm, 75 mm]⟧']),
    { code: 'cell-outside-plate', severity: 'warning' },
  ],
  [
    'a part outside the plate',
    edited(['[110 mm, 110 mm]', '⟦[110 mm, 1100 mm]⟧']),
    { code: 'part-outside-plate', severity: 'warning' },
  ],
  [
    'an outline that crosses itself',
    edited([
      '[[40 mm, 40 mm], [110 mm, 40 mm], [110 mm, 110 mm], [40 mm, 110 mm]]',
      '⟦[[40 mm, 40 mm], [110 mm, 40 mm], [40 mm, 110 mm], [110 mm, 110 mm]]⟧',
    ]),
    { code: 'outline-crosses-itself', severity: 'warning' },
  ],
  [
    'an outline of two corners',
    edited([
      '[[40 mm, 40 mm], [110 mm, 40 mm], [110 mm, 110 mm], [40 mm, 110 mm]]',
      '⟦[[40 mm, 40 mm], [110 mm, 40 mm]]⟧',
    ]),
    { code: 'outline-too-short', leaves: all },
  ],
  [
    'a datum that ends before it starts',
    edited(['{from: 60 s, to: 180 s}', '⟦{from: 180 s, to: 60 s}⟧']),
    { code: 'datum-empty' },
  ],
  [
    'two directions',
    edited(['cells: {B2', 'cells: {⟦B2⟧'], ['direction: 45 deg', 'direction: 180 deg']),
    { code: 'directions-too-few', severity: 'information', says: /2 directions/ },
  ],
  [
    'directions close together',
    edited(
      ['cells: {B2', 'cells: {⟦B2⟧'],
      ['direction: 45 deg', 'direction: 20 deg'],
      ['kind: bragg, direction: 90 deg', 'kind: bragg, direction: 40 deg'],
    ),
    { code: 'directions-too-close', severity: 'warning', says: /16\.6/ },
  ],
  [
    'a second thermometer',
    edited(
      [
        '# - {name: B2_T, unit: deg_C, datatype: float64}\n',
        ['B2_T', 'B2_S'].map((name) => `# - {name: ${name}, unit: deg_C, datatype: float64}\n`).join(''),
      ],
      [
        '#     B2_T: {cell: B2, kind: temperature}\n',
        '#     B2_T: {cell: B2, kind: temperature}\n#     ⟦B2_S⟧: {cell: B2, kind: temperature}\n',
      ],
      ['time,layer,B2_T,', 'time,layer,B2_T,B2_S,'],
    ),
    { code: 'thermometer-unused', severity: 'information', says: /'B2_S' is not used.*'B2_T' serves B2.*not averaged/ },
  ],
  [
    'no temperature',
    edited(['cells: {B2', 'cells: {⟦B2⟧'], ['#     B2_T: {cell: B2, kind: temperature}\n', '']),
    { code: 'temperature-missing', severity: 'warning', says: /holds the heat.*without 'cell' serves the whole plate/ },
  ],
  [
    'a plate of unsaid thickness',
    edited(['thickness: 30 mm, ', ''], ['plate: {', '⟦plate⟧: {']),
    { code: 'plate-assumed', severity: 'warning', says: /25 mm/ },
  ],
  [
    'a material not in the table',
    edited(['material: Al 6061-T6, youngs_modulus: 68.9 GPa,', 'material: ⟦Al 6062-T6⟧,']),
    { code: 'material-unknown', severity: 'warning', fix: 'Al 6061-T6' },
  ],
]);
