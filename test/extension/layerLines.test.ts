import assert from 'node:assert/strict';
import fc from 'fast-check';
import { layersOf } from '../../src/extension/layerLines.ts';

describe('layersOf', () => {
  it('gives the runs of rows with the same layer, lines counting from 0', () => {
    const text = 'time,layer,x\n0,1,5\n1,1,5\n2,2,5\n3,2,5\n4,3,5\n';
    assert.deepEqual(layersOf(text, 1, 1, ','), [
      { layer: '1', from: 1, to: 2 },
      { layer: '2', from: 3, to: 4 },
      { layer: '3', from: 5, to: 5 },
    ]);
  });

  it('leaves out rows that are too short or have no layer, without cutting the run around them', () => {
    assert.deepEqual(layersOf('t,l\n0,1\n1\n2,\n3,1\n', 1, 1, ','), [{ layer: '1', from: 1, to: 4 }]);
  });

  it('is the same with CRLF and without a last line end', () => {
    const lines = ['t,l', '0,1', '1,2', '2,2'];
    assert.deepEqual(layersOf(lines.join('\r\n'), 1, 1, ','), layersOf(`${lines.join('\n')}\n`, 1, 1, ','));
  });

  it('takes a quoted field before the layer for one, whatever it holds', () => {
    const text = 't,note,l\n0,"a,b",1\n1,"say ""c,d""",1\n2,e,"2"\n';
    assert.deepEqual(layersOf(text, 1, 2, ','), [
      { layer: '1', from: 1, to: 2 },
      { layer: '2', from: 3, to: 3 },
    ]);
  });

  it('goes by the delimiter of the log', () => {
    assert.deepEqual(layersOf('t;l\n0,5;7\n', 1, 1, ';'), [{ layer: '7', from: 1, to: 1 }]);
  });

  it('agrees with splitting every line', () => {
    const layers = fc.array(fc.integer({ min: 0, max: 3 }), { maxLength: 50 });
    fc.assert(
      fc.property(layers, (wanted) => {
        const text = ['t,x,l', ...wanted.map((layer, at) => `${at},7,${layer}`)].join('\n');
        const slow: { layer: string; from: number; to: number }[] = [];
        text.split('\n').forEach((line, at) => {
          const layer = line.split(',')[2] ?? '';
          if (at === 0) return;
          const last = slow.at(-1);
          if (last?.layer === layer) last.to = at;
          else slow.push({ layer, from: at, to: at });
        });
        assert.deepEqual(layersOf(text, 1, 2, ','), slow);
      }),
    );
  });
});
