// The editor's theme as the canvas needs it: plain colours read from its variables, read anew when the theme changes.
import { behindColour, divergingColour, seriesColours, type Ground } from '../src/core/display/colours.ts';

export interface Theme {
  readonly ground: Ground;
  readonly highContrast: boolean;
  readonly background: string;
  readonly text: string;
  readonly soft: string;
  readonly grid: string;
  readonly cursor: string;
  readonly selection: string;
  readonly error: string;
  readonly warning: string;
  readonly information: string;
  readonly font: string;
  readonly lines: readonly string[];
  readonly behind: string;
}

/** Reads the theme and gives the stylesheet the two colours of our own that go with it. */
export function appliedTheme(): Theme {
  const theme = readTheme();
  const { style } = document.documentElement;
  for (const [name, colour] of [
    ['--tension', divergingColour(1, theme.ground)],
    ['--compression', divergingColour(-1, theme.ground)],
  ] as const) {
    // The observer below watches this attribute: set only what differs.
    if (style.getPropertyValue(name) !== colour) style.setProperty(name, colour);
  }
  return theme;
}

function readTheme(): Theme {
  const styles = getComputedStyle(document.body);
  const read = (name: string, otherwise: string): string => styles.getPropertyValue(name).trim() || otherwise;
  const classes = document.body.classList;
  const light = classes.contains('vscode-light') || classes.contains('vscode-high-contrast-light');
  const highContrast = classes.contains('vscode-high-contrast') || classes.contains('vscode-high-contrast-light');
  const ground: Ground = light ? 'light' : 'dark';
  const text = read('--vscode-foreground', light ? '#333333' : '#cccccc');
  return {
    ground,
    highContrast,
    background: read('--vscode-editor-background', light ? '#ffffff' : '#1f1f1f'),
    text,
    soft: read('--vscode-descriptionForeground', text),
    grid: highContrast ? text : read('--vscode-editorIndentGuide-background1', light ? '#d8d8d8' : '#404040'),
    cursor: read('--vscode-editorCursor-foreground', text),
    selection: read('--vscode-editor-selectionBackground', light ? '#add6ff' : '#264f78'),
    error: read('--vscode-editorError-foreground', light ? '#c41e1e' : '#f48771'),
    warning: read('--vscode-editorWarning-foreground', light ? '#946300' : '#cca700'),
    information: read('--vscode-editorInfo-foreground', light ? '#1a6fb5' : '#75beff'),
    font: `11px ${read('--vscode-font-family', 'system-ui, sans-serif')}`,
    lines: seriesColours(ground),
    behind: behindColour(ground),
  };
}

/** Calls `listener` whenever the editor changes its theme. */
export function onThemeChange(listener: () => void): void {
  const changed = new MutationObserver(listener);
  changed.observe(document.body, { attributes: true, attributeFilter: ['class', 'data-vscode-theme-id'] });
  changed.observe(document.documentElement, { attributes: true, attributeFilter: ['style'] });
}

export function reducedMotion(): boolean {
  return (
    document.body.classList.contains('vscode-reduce-motion') ||
    window.matchMedia('(prefers-reduced-motion: reduce)').matches
  );
}
