// Light or dark: as the system has it, or as the person picks.

import { choose } from './dialog.ts';

type Theme = 'auto' | 'light' | 'dark';

export function applyTheme(): void {
  const t = (localStorage.getItem('theme') ?? 'auto') as Theme;
  if (t === 'auto') document.documentElement.removeAttribute('data-theme');
  else document.documentElement.dataset.theme = t;
}

export function pickTheme(): void {
  void choose('Light or dark', [], [{ words: 'Like the system', value: 'auto' }, { words: 'Light', value: 'light' }, { words: 'Dark', value: 'dark' }]).then(t => {
    if (t) localStorage.setItem('theme', t);
    applyTheme();
  });
}
