// Problems of keys and values in a header: code, exact range, severity, fix, and what of the log is still analysed.
import { all, bragg, cases, edited, without45 } from './sampleHeader.ts';

cases('keys', [
  [
    'of a list that knows few words',
    edited(['recoater: {', 'detection: {mute: [⟦foo⟧]}\n#   recoater: {']),
    { code: 'value-unknown', leaves: all, says: /^an entry of 'mute' cannot be 'foo'/ },
  ],
  [
    'with a number that is none',
    edited(['{at: [75 mm, 75 mm]}', '{at: [⟦.nan⟧, 75 mm]}']),
    {
      code: 'quantity-syntax',
      others: ['channels-left-out'],
      leaves: 'stops',
      says: /^(?!.*NaN).*write a quantity with its unit/,
    },
  ],
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
    { code: 'value-type', leaves: 'stops', others: ['channels-left-out'], says: /pair/ },
  ],
  [
    'a place with three coordinates',
    edited(['[75 mm, 75 mm]', '⟦[75 mm, 75 mm, 9 mm]⟧']),
    { code: 'value-type', leaves: 'stops', others: ['channels-left-out'], says: /pair/ },
  ],
  [
    'a place that is no pair',
    edited(['[75 mm, 75 mm]', '⟦75 mm⟧']),
    { code: 'value-type', leaves: 'stops', others: ['channels-left-out'], says: /pair/ },
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
    'of a gain for temperature that has been taken out',
    edited(
      ['{name: B2_up_90, unit: nm', '{name: B2_up_90, unit: um/m'],
      [
        'kind: bragg, direction: 90 deg, rest: 1553.871 nm, strain_gain: 0.78, thermal_gain: 6.5e-6 1/K',
        'kind: strain, direction: 90 deg, compensated: true, ⟦thermal_gain⟧: 8.3e-6 1/K',
      ],
    ),
    { code: 'key-unused', severity: 'warning', leaves: all, says: /taken out already/ },
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
