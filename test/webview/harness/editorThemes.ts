// The editor's theme variables that the page reads, as the default themes set them (values of VS Code 1.100's modern
// themes, from memory; a test of the page only needs them to be plausible and complete).

export type ThemeName = 'dark' | 'light' | 'high-contrast' | 'high-contrast-light';

const dark = {
  foreground: '#cccccc',
  descriptionForeground: '#9d9d9d',
  focusBorder: '#0078d4',
  'editor-background': '#1f1f1f',
  'editor-foreground': '#cccccc',
  'editorWidget-background': '#252526',
  'panel-border': '#2b2b2b',
  'editorError-foreground': '#f85149',
  'editorWarning-foreground': '#cca700',
  'editorInfo-foreground': '#3794ff',
  'editor-selectionBackground': '#264f78',
  'editorCursor-foreground': '#aeafad',
  'editorIndentGuide-background1': '#404040',
  'textLink-foreground': '#4daafc',
  'button-background': '#0078d4',
  'button-foreground': '#ffffff',
  'button-hoverBackground': '#026ec1',
  'button-secondaryBackground': '#313131',
  'button-secondaryForeground': '#cccccc',
  'button-secondaryHoverBackground': '#3c3c3c',
  'button-border': '#ffffff12',
  'checkbox-background': '#313131',
  'checkbox-border': '#3c3c3c',
  'checkbox-foreground': '#cccccc',
  'dropdown-background': '#313131',
  'dropdown-border': '#3c3c3c',
  'dropdown-foreground': '#cccccc',
  'list-hoverBackground': '#2a2d2e',
  'list-activeSelectionBackground': '#04395e',
  'list-activeSelectionForeground': '#ffffff',
  'list-inactiveSelectionBackground': '#37373d',
  'progressBar-background': '#0078d4',
};

const light: typeof dark = {
  foreground: '#3b3b3b',
  descriptionForeground: '#3b3b3b',
  focusBorder: '#005fb8',
  'editor-background': '#ffffff',
  'editor-foreground': '#3b3b3b',
  'editorWidget-background': '#f8f8f8',
  'panel-border': '#e5e5e5',
  'editorError-foreground': '#c41e1e',
  'editorWarning-foreground': '#956400',
  'editorInfo-foreground': '#1a6fb5',
  'editor-selectionBackground': '#add6ff',
  'editorCursor-foreground': '#005fb8',
  'editorIndentGuide-background1': '#d3d3d3',
  'textLink-foreground': '#005fb8',
  'button-background': '#005fb8',
  'button-foreground': '#ffffff',
  'button-hoverBackground': '#0258a8',
  'button-secondaryBackground': '#e5e5e5',
  'button-secondaryForeground': '#3b3b3b',
  'button-secondaryHoverBackground': '#cccccc',
  'button-border': '#0000001a',
  'checkbox-background': '#f8f8f8',
  'checkbox-border': '#cecece',
  'checkbox-foreground': '#3b3b3b',
  'dropdown-background': '#ffffff',
  'dropdown-border': '#cecece',
  'dropdown-foreground': '#3b3b3b',
  'list-hoverBackground': '#f2f2f2',
  'list-activeSelectionBackground': '#e8e8e8',
  'list-activeSelectionForeground': '#000000',
  'list-inactiveSelectionBackground': '#e4e6f1',
  'progressBar-background': '#005fb8',
};

const highContrast = {
  ...dark,
  foreground: '#ffffff',
  descriptionForeground: '#ffffffb3',
  focusBorder: '#f38518',
  contrastBorder: '#6fc3df',
  contrastActiveBorder: '#f38518',
  'editor-background': '#000000',
  'editor-foreground': '#ffffff',
  'editorWidget-background': '#0c141f',
  'panel-border': '#6fc3df',
  'editorError-foreground': '#f48771',
  'editorWarning-foreground': '#ffd370',
  'editor-selectionBackground': '#ffffff66',
  'textLink-foreground': '#21a6ff',
  'button-background': '#000000',
  'button-secondaryBackground': '#000000',
  'button-secondaryForeground': '#ffffff',
  'button-border': '#6fc3df',
  'checkbox-background': '#000000',
  'checkbox-border': '#6fc3df',
  'dropdown-background': '#000000',
  'dropdown-border': '#6fc3df',
  'dropdown-foreground': '#ffffff',
  'list-hoverBackground': '#ffffff1a',
  'list-activeSelectionBackground': '#000000',
  'list-inactiveSelectionBackground': '#000000',
};

const highContrastLight = {
  ...light,
  foreground: '#292929',
  descriptionForeground: '#292929',
  focusBorder: '#006bbd',
  contrastBorder: '#0f4a85',
  contrastActiveBorder: '#006bbd',
  'panel-border': '#0f4a85',
  'editorError-foreground': '#b5200d',
  'editorWarning-foreground': '#895503',
  'editor-selectionBackground': '#0f4a85',
  'textLink-foreground': '#0f4a85',
  'button-background': '#0f4a85',
  'button-secondaryBackground': '#ffffff',
  'button-secondaryForeground': '#292929',
  'button-border': '#0f4a85',
  'checkbox-border': '#0f4a85',
  'dropdown-border': '#0f4a85',
  'list-hoverBackground': '#0f4a851a',
  'list-activeSelectionBackground': '#ffffff',
  'list-activeSelectionForeground': '#292929',
  'list-inactiveSelectionBackground': '#ffffff',
};

const themes: Readonly<Record<ThemeName, Readonly<Record<string, string>>>> = {
  dark,
  light,
  'high-contrast': highContrast,
  'high-contrast-light': highContrastLight,
};

export const themeNames = Object.keys(themes) as ThemeName[];

/** Classes that the editor gives the page's body. High contrast light carries the class of high contrast as well. */
export function bodyClass(name: ThemeName): string {
  return name === 'high-contrast-light' ? 'vscode-high-contrast-light vscode-high-contrast' : `vscode-${name}`;
}

export function themeVariables(name: ThemeName): Readonly<Record<string, string>> {
  const shared = {
    'font-family': 'system-ui, "DejaVu Sans", sans-serif',
    'font-size': '13px',
    'font-weight': 'normal',
  };
  return Object.fromEntries(
    Object.entries({ ...shared, ...themes[name] }).map(([key, value]) => [`--vscode-${key}`, value]),
  );
}
