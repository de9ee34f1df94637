// Hands files to the extension, which asks where to put them. Pictures become PNG on a canvas of the page.
import { svgText, type SvgNode } from '../src/core/display/svg/svg.ts';
import type { App } from './app.ts';

export function saveText(app: App, name: string, mime: string, text: string): void {
  app.host.tell({ type: 'save', name: fileName(app, name), mime, bytes: new TextEncoder().encode(text) });
}

/** `drawing` with its size in pixels; saved at twice that, for sharp print. */
export async function savePng(app: App, name: string, drawing: SvgNode): Promise<void> {
  const image = new Image();
  const url = URL.createObjectURL(new Blob([svgText(drawing)], { type: 'image/svg+xml' }));
  try {
    image.src = url;
    await image.decode();
  } finally {
    URL.revokeObjectURL(url);
  }
  const canvas = document.createElement('canvas');
  canvas.width = image.naturalWidth * 2;
  canvas.height = image.naturalHeight * 2;
  canvas.getContext('2d')!.drawImage(image, 0, 0, canvas.width, canvas.height);
  const blob = await new Promise<Blob | null>((resolve) => canvas.toBlob(resolve, 'image/png'));
  if (!blob) throw new Error('the picture is too large for this browser to write');
  const bytes = new Uint8Array(await blob.arrayBuffer());
  app.host.tell({ type: 'save', name: fileName(app, name), mime: 'image/png', bytes });
}

/** Over a picture: `release.strain.csv, tray 8`. */
export function headOf(log: string, build: string): string {
  return [log, build].filter((text) => text !== '').join(', ');
}

/** `release.strain.csv` and `plots.svg` make `release.plots.svg`. */
function fileName(app: App, name: string): string {
  const log = (app.summary?.name ?? 'log').split(/[\\/]/).at(-1)!;
  return `${log.replace(/(\.strain)?\.[^.]*$/, '')}.${name}`;
}
