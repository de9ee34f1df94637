// Every problem of a log's header: its code, exact range, severity, fix, and what of the log is still analysed.
import { check, edited, sampleHeader } from './sampleHeader.ts';
import type { Expected } from './sampleHeader.ts';

type Case = readonly [title: string, marked: string, expected: Expected];

const bragg = ['B2_up_0', 'B2_up_45', 'B2_up_90'];
const all = ['B2_T', ...bragg];
const without45 = ['B2_T', 'B2_up_0', 'B2_up_90'];

function cases(title: string, list: readonly Case[]): void {
  describe(title, () => {
    for (const [name, marked, expected] of list) it(name, () => void check(marked, expected));
  });
}

cases('files that are no strain log', [
  ['an empty file', '⟦⟧', { code: 'file-empty', leaves: 'stops' }],
  ['a file of blank lines', '⟦⟧\n\n', { code: 'file-empty', leaves: 'stops' }],
  ['a plain table', '⟦time,a,b⟧\n', { code: 'header-missing', leaves: 'stops', says: /header\.yaml/ }],
  [
    'a pointer of Git LFS',
    '⟦version https://git-lfs.github.com/spec/v1⟧\noid sha256:00\nsize 1\n',
    { code: 'lfs-pointer', leaves: 'stops', says: /git lfs pull/ },
  ],
  ['a packed file', '⟦\x1f\x8b\b stuff⟧\n', { code: 'not-text', leaves: 'stops' }],
  ['zero bytes', '⟦a\0b⟧\n', { code: 'not-text', leaves: 'stops' }],
]);

cases('ECSV', [
  [
    'without its first line',
    sampleHeader.replace("# %ECSV 1.0\n# ---\n# delimiter: ','", "⟦# delimiter: ','⟧"),
    { code: 'ecsv-missing', fix: '# %ECSV 1.0\n# ---\n', leaves: 'stops' },
  ],
  [
    'of another version',
    edited(['# %ECSV 1.0', '⟦# %ECSV 2.0⟧']),
    { code: 'ecsv-version', fix: '# %ECSV 1.0', leaves: 'stops' },
  ],
  [
    'with another delimiter',
    edited(["','", "⟦' '⟧"]),
    { code: 'delimiter-not-comma', fix: "','", leaves: 'stops', says: /commas/ },
  ],
  [
    'without a delimiter, which means a space in ECSV',
    edited(["# delimiter: ','\n", ''], ['# datatype:', '# ⟦datatype⟧:']),
    { code: 'delimiter-not-comma', leaves: 'stops' },
  ],
  [
    'without its columns',
    sampleHeader.replace(/# datatype:\n(# - .*\n)+/, '').replace('# meta:', '# ⟦meta⟧:'),
    { code: 'datatype-missing', leaves: 'stops' },
  ],
  [
    'with an unknown datatype',
    edited(['layer, datatype: int32', 'layer, datatype: ⟦int23⟧']),
    { code: 'datatype-unknown', fix: 'int32', leaves: 'stops' },
  ],
  [
    'with a column declared twice',
    edited(
      ['name: B2_up_45', 'name: ⟦B2_up_0⟧'],
      ['T,B2_up_0,B2_up_45', 'T,B2_up_0,B2_up_0'],
      [
        '#     B2_up_45: {cell: B2, plane: up, kind: bragg, direction: 45 deg, rest: 1552.004 nm, strain_gain: 0.78, thermal_gain: 6.5e-6 1/K}\n',
        '',
      ],
    ),
    { code: 'column-duplicate', leaves: 'stops', others: ['directions-too-few'] },
  ],
  [
    'with a row of names that differs',
    edited(['T,B2_up_0,', 'T,⟦B2_up_O⟧,']),
    { code: 'names-mismatch', fix: 'B2_up_0', leaves: 'stops', says: /column 4/ },
  ],
  ['with a name too many', edited([',B2_up_90\n', ',B2_up_90,⟦more⟧\n']), { code: 'names-mismatch', leaves: 'stops' }],
  [
    'with a name too few',
    edited(
      [',B2_up_90\n', '\n'],
      ['{name: B2_up_90, unit: nm, datatype: float64}', '⟦{name: B2_up_90, unit: nm, datatype: float64}⟧'],
    ),
    { code: 'names-mismatch', leaves: 'stops' },
  ],
  [
    'without a row of names',
    edited(['time,layer,B2_T,B2_up_0,B2_up_45,B2_up_90\n', ''], ['# schema: astropy-2.0', '⟦# schema: astropy-2.0⟧']),
    { code: 'names-missing', leaves: 'stops' },
  ],
  [
    'with a header line that lacks its space',
    edited(['# schema', '⟦#s⟧chema']),
    { code: 'ecsv-line-start', fix: ' ', leaves: 'stops' },
  ],
  [
    'without a strain log block',
    "# %ECSV 1.0\n# ---\n# delimiter: ','\n# ⟦meta⟧: {made: by hand}\na\n",
    { code: 'strain-log-missing', leaves: 'stops' },
  ],
]);

cases('YAML', [
  [
    'with a name that means something else',
    edited(['cells: {', 'cells: {⟦constructor⟧: {at: [1 mm, 2 mm]}, ']),
    { code: 'name-reserved', leaves: all },
  ],
  [
    'that refers to nothing',
    edited(['recoater:', 'a: &a [1]\n#   b: ⟦*c⟧\n#   recoater:']),
    { code: 'yaml-syntax', leaves: 'stops' },
  ],

  [
    'that is broken',
    edited(['cells: {B2: {at: [75 mm, 75 mm]}}', 'cells: {B2: {at: [75 mm, 75 mm⟦}⟧}']),
    { code: 'yaml-syntax', leaves: 'stops' },
  ],
]);

cases('keys', [
  [
    'misspelt',
    edited(['yield_stress: 276', '⟦yeild_stress⟧: 276']),
    { code: 'key-unknown', severity: 'warning', fix: 'yield_stress' },
  ],
  [
    'far from any known',
    edited(['recoater: {', '⟦operator⟧: A. Nother\n#   recoater: {']),
    { code: 'key-unknown', severity: 'information' },
  ],
  [
    'of a part',
    edited(['{outline: [[40 mm, 40', '{⟦height⟧: 3 mm, outline: [[40 mm, 40']),
    { code: 'key-unknown', severity: 'information' },
  ],
  [
    'that are missing',
    edited(['cell: B2, kind: temperature', 'cell: B2'], ['#     B2_T: {', '#     ⟦B2_T⟧: {']),
    { code: 'key-missing', leaves: bragg, says: /kind: bragg/ },
  ],
  [
    'declared twice among channels',
    edited(['#     B2_up_45: {cell', '#     ⟦B2_up_0⟧: {cell']),
    { code: 'channel-duplicate', leaves: 'stops', others: ['directions-too-few'] },
  ],
  ['declared twice elsewhere', edited(['low: {height', '⟦up⟧: {height']), { code: 'key-duplicate', leaves: 'stops' }],
]);

cases('values', [
  [
    'a corner that is no pair',
    edited(['[110 mm, 110 mm]', '⟦110 mm⟧']),
    { code: 'value-type', leaves: all, says: /corner 3.*pair/ },
  ],
  [
    'a place with one coordinate',
    edited(['[75 mm, 75 mm]', '⟦[75 mm]⟧']),
    { code: 'value-type', leaves: 'stops', says: /pair/ },
  ],
  [
    'a place with three coordinates',
    edited(['[75 mm, 75 mm]', '⟦[75 mm, 75 mm, 9 mm]⟧']),
    { code: 'value-type', leaves: 'stops', says: /pair/ },
  ],
  [
    'a place that is no pair',
    edited(['[75 mm, 75 mm]', '⟦75 mm⟧']),
    { code: 'value-type', leaves: 'stops', says: /pair/ },
  ],
  [
    'a corner with one coordinate',
    edited(['[110 mm, 110 mm]', '⟦[110 mm]⟧']),
    { code: 'value-type', leaves: all, says: /pair/ },
  ],
  [
    'a list where keys are needed',
    edited(['recoater: {direction: 90 deg}', 'recoater: ⟦[90 deg]⟧']),
    { code: 'value-type', says: /set of keys/ },
  ],
  [
    'of a kind that does not read them',
    edited(['kind: temperature}', 'kind: temperature, ⟦rest⟧: 1550 nm}']),
    { code: 'key-unused', severity: 'warning', leaves: all },
  ],
  [
    'at rest in the wrong dimension',
    edited(['rest: 1552.004 nm', 'rest: ⟦193 THz⟧']),
    { code: 'unit-mismatch', leaves: without45, says: /frequency.*length/ },
  ],
  [
    'at rest as a bare number',
    edited(['rest: 1552.004 nm', 'rest: ⟦1552.004⟧']),
    { code: 'unit-missing', fix: '1552.004 nm', leaves: without45 },
  ],
  [
    'a slope without its strain',
    edited(['#   datum:', '#   channel_defaults: {spectral-shift: {strain_slope: ⟦-0.15 GHz⟧}}\n#   datum:']),
    { code: 'unit-mismatch', leaves: 'stops' },
  ],
  ['of the wrong type', edited(['planned_layers: 1450', 'planned_layers: ⟦many⟧']), { code: 'value-type' }],
  [
    'that read as a number though they are names',
    edited(['name: tray 7', 'name: ⟦7⟧']),
    { code: 'value-type', fix: "'7'" },
  ],
  [
    'of a choice',
    edited(['kind: temperature', 'kind: ⟦temprature⟧']),
    { code: 'value-unknown', fix: 'temperature', leaves: bragg },
  ],
  [
    'a channel without a place in the table',
    edited(['#     B2_up_45: {', '#     ⟦B2_up_44⟧: {']),
    { code: 'column-unknown', fix: 'B2_up_45', leaves: without45 },
  ],
  [
    'a version from the future',
    edited(['strain_log: 1', 'strain_log: ⟦2⟧']),
    { code: 'version-unknown', leaves: 'stops' },
  ],
  [
    'a bare number for a quantity',
    edited(['thickness: 30 mm', 'thickness: ⟦30⟧']),
    { code: 'unit-missing', fix: '30 mm', leaves: 'stops' },
  ],
  [
    'a quantity with a decimal comma',
    edited(['thickness: 30 mm', "thickness: ⟦'30,5 mm'⟧"]),
    { code: 'quantity-syntax', fix: '30.5 mm', leaves: 'stops' },
  ],
  [
    'a unit of the wrong dimension',
    edited(['thickness: 30 mm', 'thickness: ⟦30 MPa⟧']),
    { code: 'unit-mismatch', leaves: 'stops', says: /stress.*length/ },
  ],
  [
    'a unit spelled otherwise',
    edited(['direction: 45 deg', 'direction: ⟦45 °⟧']),
    { code: 'unit-unknown', fix: '45 deg', leaves: without45 },
  ],
  [
    'a column unit of the wrong dimension',
    edited(['B2_up_45, unit: nm', 'B2_up_45, unit: ⟦GHz⟧']),
    { code: 'unit-mismatch', leaves: without45 },
  ],
  [
    'a column unit spelled otherwise',
    edited(['unit: deg_C', 'unit: ⟦°C⟧']),
    { code: 'unit-unknown', fix: 'deg_C', leaves: bragg },
  ],
  [
    'a column without the unit its channel needs',
    edited(['{name: B2_up_45, unit: nm, datatype: float64}', '⟦{name: B2_up_45, datatype: float64}⟧']),
    { code: 'unit-missing', leaves: without45 },
  ],
  [
    'an unknown cell',
    edited(['B2_up_45: {cell: B2', 'B2_up_45: {cell: ⟦B3⟧']),
    { code: 'cell-unknown', fix: 'B2', leaves: without45, others: ['directions-too-few'] },
  ],
  [
    'an unknown plane',
    edited(['B2_up_45: {cell: B2, plane: up', 'B2_up_45: {cell: B2, plane: ⟦upp⟧']),
    { code: 'plane-unknown', fix: 'up', leaves: without45 },
  ],
  [
    'no plane where there are two',
    edited(['B2_up_45: {cell: B2, plane: up, ', '⟦B2_up_45⟧: {cell: B2, ']),
    { code: 'plane-missing', leaves: without45 },
  ],
  [
    'no cell',
    edited(['B2_up_45: {cell: B2, ', '⟦B2_up_45⟧: {']),
    { code: 'cell-missing', leaves: without45, others: ['directions-too-few'] },
  ],
  [
    'no direction',
    edited(['#     B2_up_45: {', '#     ⟦B2_up_45⟧: {'], ['direction: 45 deg, ', '']),
    { code: 'direction-missing', leaves: without45 },
  ],
  [
    'no wavelength at rest',
    edited(['#     B2_up_45: {', '#     ⟦B2_up_45⟧: {'], ['rest: 1552.004 nm, ', '']),
    { code: 'rest-missing', leaves: without45 },
  ],
  [
    'no time column',
    edited(['{name: time,', '{name: clock,'], ['\ntime,', '\nclock,'], ['# datatype:', '# ⟦datatype⟧:']),
    { code: 'time-missing', leaves: 'stops' },
  ],
  [
    'a role given to a column that is not there',
    edited(['recoater:', 'columns: {layer: ⟦lager⟧}\n#   recoater:']),
    { code: 'column-unknown', fix: 'layer', leaves: 'stops' },
  ],
  ['a time in millimetres', edited(['time, unit: s', 'time, unit: ⟦mm⟧']), { code: 'unit-mismatch', leaves: 'stops' }],
  [
    'a derived series named as a column',
    edited(['recoater:', 'derived: {⟦B2_T⟧: B2_up_0}\n#   recoater:']),
    { code: 'derived-name-taken', leaves: all },
  ],
]);

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
  ['planes at one height', edited(['height: -9 mm', 'height: ⟦9 mm⟧']), { code: 'planes-coincide' }],
  ['a plane outside the plate', edited(['height: -9 mm', 'height: ⟦-19 mm⟧']), { code: 'height-outside-plate' }],
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
    'no temperature',
    edited(['cells: {B2', 'cells: {⟦B2⟧'], ['#     B2_T: {cell: B2, kind: temperature}\n', '']),
    { code: 'temperature-missing', severity: 'warning' },
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
