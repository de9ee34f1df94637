// Problems of files that are no strain log, of ECSV and of YAML: code, exact range, fix.
import { all, cases, edited, sampleHeader } from './sampleHeader.ts';

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
  [
    'lines that end with CR alone',
    '⟦# %ECSV 1.0⟧\r# ---\rtime,a\r',
    { code: 'line-ends-cr', leaves: 'stops', says: /LF/ },
  ],
  ['zero bytes', '⟦a\0b⟧\n', { code: 'not-text', leaves: 'stops' }],
]);

cases('ECSV', [
  [
    'with a control character in it',
    edited(['tray 7', 'tray ⟦\x1b⟧[31m7']),
    { code: 'control-character', leaves: 'stops', says: /U\+001B.*delete it/ },
  ],
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
    'with names separated otherwise',
    edited(['time,layer,B2_T,B2_up_0,B2_up_45,B2_up_90', '⟦time;layer;B2_T;B2_up_0;B2_up_45;B2_up_90⟧']),
    { code: 'delimiter-not-comma', leaves: 'stops', says: /semicolons.*table: \{delimiter: ';'\}/ },
  ],
  [
    'with names separated by tabs, as it declares',
    edited(
      ["delimiter: ','", "delimiter: '\\t'"],
      ['time,layer,B2_T,B2_up_0,B2_up_45,B2_up_90', '⟦time\tlayer\tB2_T\tB2_up_0\tB2_up_45\tB2_up_90⟧'],
    ),
    { code: 'delimiter-not-comma', leaves: 'stops', says: /tabs.*\{delimiter: tab\}/ },
  ],
  [
    'with a name that has no end',
    edited(['time,layer,B2_T,', `⟦${'x'.repeat(5000)}⟧,layer,B2_T,`]),
    { code: 'names-mismatch', fix: 'time', leaves: 'stops', says: /^.{0,200}$/ },
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
  [
    'with a name left out, so that all after it differ',
    edited(['time,layer,B2_T,B2_up_0,', 'time,layer,⟦B2_up_0⟧,']),
    { code: 'names-mismatch', leaves: 'stops', says: /3 more differ/ },
  ],
  [
    'with a name that needs quotes',
    edited(
      ['name: B2_up_0,', "name: 'B2, up',"],
      ['#     B2_up_0:', "#     'B2, up':"],
      ['T,B2_up_0,', 'T,⟦B2_up_0⟧,'],
    ),
    { code: 'names-mismatch', fix: '"B2, up"', leaves: 'stops' },
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
    // As git's manual shows them: git-merge, "How conflicts are presented".
    'with a conflict of a merge',
    edited(['#   plate:', '⟦<<<<<<< HEAD⟧\n#   plate:']),
    { code: 'merge-conflict', leaves: 'stops' },
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
    'that refers to what it stands in',
    edited(['recoater:', 'a: &a [1, ⟦*a⟧]\n#   recoater:']),
    { code: 'yaml-syntax', leaves: 'stops', says: /^'\*a' refers to what it stands in/ },
  ],
  [
    'whose references multiply beyond measure',
    edited([
      'recoater:',
      `a: &a [x, x, x, x, x, x, x, x, x]\n${['b', 'c', 'd', 'e', 'f']
        .map((name, at) => {
          const before = `*${'abcde'[at]!}`;
          const last = name === 'f' ? `⟦${before}⟧` : before;
          return `#   ${name}: &${name} [${`${before}, `.repeat(8)}${last}]\n`;
        })
        .join('')}#   recoater:`,
    ]),
    { code: 'yaml-syntax', leaves: 'stops', says: /up to '\*e', stand for too many values/ },
  ],
  [
    'that is broken',
    edited(['cells: {B2: {at: [75 mm, 75 mm]}}', 'cells: {B2: {at: [75 mm, 75 mm⟦}⟧}']),
    { code: 'yaml-syntax', leaves: 'stops' },
  ],
]);
