// Every control of the page comes from here, and only here is the control library known: a successor changes this file.
import {
  provideVSCodeDesignSystem,
  vsCodeButton,
  vsCodeCheckbox,
  vsCodeDropdown,
  vsCodeOption,
} from '@vscode/webview-ui-toolkit';
import { element } from './element.ts';

provideVSCodeDesignSystem().register(vsCodeButton(), vsCodeCheckbox(), vsCodeDropdown(), vsCodeOption());

export interface Choice {
  readonly value: string;
  readonly text: string;
}

/** A push button. `hint` is its tooltip and, where the text is a mere sign, its name. */
export function button(text: string, hint: string, onPress: () => void, look: 'primary' | 'secondary' = 'secondary') {
  const made = document.createElement('vscode-button');
  made.setAttribute('appearance', look);
  made.setAttribute('title', hint);
  if (hint !== '') made.setAttribute('aria-label', /\p{L}{2}/u.test(text) ? `${text}: ${hint}` : hint);
  made.append(text);
  made.addEventListener('click', onPress);
  return made;
}

/** Shows a button as pressed in or not. */
export function setPressed(made: HTMLElement, pressed: boolean): void {
  made.setAttribute('appearance', pressed ? 'primary' : 'secondary');
  made.setAttribute('aria-pressed', String(pressed));
}

export function setText(made: HTMLElement, text: string, name: string): void {
  made.textContent = text;
  made.setAttribute('aria-label', name);
  made.setAttribute('title', name);
}

export interface Dropdown {
  readonly root: HTMLElement;
  /** Offers `choices` and shows `value`; does nothing where both stand already. */
  show(choices: readonly Choice[], value: string): void;
}

/** One of several. `label` stands before it. */
export function dropdown(label: string, onChoice: (value: string) => void): Dropdown {
  const list = document.createElement('vscode-dropdown') as HTMLElement & { value: string };
  list.setAttribute('aria-label', label);
  let offered = '';
  let shown = '';
  list.addEventListener('change', () => {
    if (list.value === shown) return;
    shown = list.value;
    onChoice(shown);
  });
  const root = element('label', { class: 'field' }, [element('span', {}, [label]), list]);
  return {
    root,
    show: (choices, value) => {
      const offer = JSON.stringify(choices);
      if (offer === offered && value === shown) return;
      shown = value;
      if (offer !== offered) {
        offered = offer;
        list.replaceChildren(...choices.map((choice) => optionOf(choice, value)));
      }
      // The library takes up new options only when the page next draws.
      requestAnimationFrame(() => (list.value = shown));
    },
  };
}

function optionOf({ value, text }: Choice, chosen: string): HTMLElement {
  const made = document.createElement('vscode-option');
  made.setAttribute('value', value);
  if (value === chosen) made.setAttribute('selected', '');
  made.textContent = text;
  return made;
}

export interface Checkbox {
  readonly root: HTMLElement;
  show(checked: boolean): void;
}

export function checkbox(text: string, onChange: (checked: boolean) => void): Checkbox {
  const root = document.createElement('vscode-checkbox') as HTMLElement & { checked: boolean };
  root.append(text);
  root.setAttribute('aria-label', text);
  let shown = false;
  root.addEventListener('change', () => {
    if (root.checked === shown) return;
    shown = root.checked;
    onChange(shown);
  });
  return {
    root,
    show: (checked) => {
      shown = checked;
      root.checked = checked;
    },
  };
}
