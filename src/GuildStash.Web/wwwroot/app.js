// Small helpers that need the browser. Everything else works without scripts or through the circuit.

const byId = id => document.getElementById(id);

/** Goes to the first wrong field, or to the sentence above the form where no field is to blame; answers whether there was one. On a phone both may be far from the button. */
function focusFirstInvalid(within) {
  const form = within ? byId(within) : document;
  const wrong = form?.querySelector('[aria-invalid="true"]') ?? form?.querySelector('.note[role="alert"]');
  if (!wrong) return false;
  const folded = wrong.closest('details:not([open])');
  if (folded) folded.open = true;
  if (wrong.matches('.note')) wrong.tabIndex = -1;
  wrong.focus({ preventScroll: true });
  // In the middle, since the top and the foot of a phone's screen are covered; what stands fixed at the thumb is seen anyway.
  wrong.scrollIntoView({ block: 'center' });
  return true;
}

function focusId(id) {
  const field = byId(id);
  field?.focus();
  field?.select?.();
}

/** Copies text; answers false where the browser refuses, so that the page can say so. */
async function copy(text) {
  try {
    await navigator.clipboard.writeText(text);
    return true;
  } catch {
    return false;
  }
}

/** Shows a theme at once; "system" follows the device. */
function setTheme(theme) {
  if (theme === 'system') delete document.documentElement.dataset.theme;
  else document.documentElement.dataset.theme = theme;
}

/** Begins a new page at its heading, for screen readers and the keyboard; a person who is in one of its fields already stays there. */
function focusHeading() {
  const heading = document.querySelector('h1');
  if (!heading || document.activeElement?.closest('main *, [role=dialog]')) return;
  if (!heading.hasAttribute('tabindex')) heading.tabIndex = -1;
  heading.focus({ preventScroll: true });
}

/** Says that the page's circuit is up; typing is heard from now on. Until then early.js listens. */
function markInteractive() {
  document.documentElement.dataset.interactive = 'true';
}

window.guildStash = { focusFirstInvalid, focusId, copy, setTheme, focusHeading, markInteractive };

// In a form or row marked data-enter="next", Enter goes to the next field and submits from the last one only.
document.addEventListener('keydown', event => {
  const from = event.target;
  const group = from.closest?.('[data-enter="next"]');
  if (event.key !== 'Enter' || !group || event.isComposing || !from.matches('input, select')) return;
  if (event.ctrlKey || event.metaKey || from.matches('[type=submit], [type=button], [aria-expanded="true"]')) return;
  const fields = [...group.querySelectorAll('input, select, textarea, button[type=submit]')]
    .filter(field => !field.disabled && field.tabIndex >= 0 && field.offsetParent);
  const next = fields[fields.indexOf(from) + 1];
  if (!next || next.matches('[type=submit]')) return;
  event.preventDefault();
  next.focus();
  next.select?.();
});

document.addEventListener('click', event => {
  if (event.target.closest?.('[data-print]')) window.print();
});

// A double click presses once: the second click would send the emptied form, or press what came up in the button's place.
let pressed = null;
document.addEventListener('click', event => {
  const button = event.target.closest?.('button');
  if (button && event.detail > 1 && (button.type === 'submit' || button !== pressed)) {
    event.preventDefault();
    event.stopImmediatePropagation();
  } else {
    pressed = button;
  }
}, true);

// The circuit notices a lost network only after half a minute; the device knows at once. The words are in the banner of the connection.
const tellNetwork = () => document.documentElement.toggleAttribute('data-offline', !navigator.onLine);
window.addEventListener('offline', tellNetwork);
window.addEventListener('online', tellNetwork);

// Who signs out in one tab has signed out in all: the others, whose circuits live on, load anew. Told by the page that comes after, when it is done.
const tabs = 'BroadcastChannel' in window ? new BroadcastChannel('guildstash') : null;
if (new URLSearchParams(location.search).get('done') === 'signed-out') tabs?.postMessage('signed-out');
tabs?.addEventListener('message', event => {
  if (event.data === 'signed-out') location.reload();
});

// A large paper takes seconds. Its tab says so until the paper takes the tab over; a browser that opens no tab follows the link.
document.addEventListener('click', event => {
  const link = event.target.closest?.('a[data-making]');
  if (!link || event.defaultPrevented || event.ctrlKey || event.metaKey || event.shiftKey) return;
  const tab = window.open('', '_blank');
  if (!tab) return;
  event.preventDefault();
  const root = tab.document.documentElement;
  root.lang = document.documentElement.lang;
  root.style.cssText = 'color-scheme: light dark; font: 1rem sans-serif';
  tab.document.title = link.textContent.trim();
  tab.document.body.append(Object.assign(tab.document.createElement('p'), { role: 'status', textContent: link.dataset.making }));
  tab.opener = null;
  tab.location.replace(link.href);
});

// The page's base address would make the skip link's "#content" lead to the start page.
document.addEventListener('click', event => {
  if (!event.target.closest?.('a.skip')) return;
  event.preventDefault();
  byId('content')?.focus();
});

// A checkbox marked data-shows makes the password field of that id readable while it is ticked.
document.addEventListener('change', event => {
  const field = byId(event.target.dataset?.shows);
  if (field) field.type = event.target.checked ? 'text' : 'password';
});

// The banner of a lost connection: the framework sets the state, the words are in the page.
document.addEventListener('DOMContentLoaded', () => {
  const banner = byId('components-reconnect-modal');
  if (!banner) return;

  const retry = async () => {
    try {
      if (!await Blazor.reconnect() && !await Blazor.resumeCircuit()) location.reload();
    } catch {
      // The server can't be reached; the banner keeps saying so.
    }
  };
  const resume = async () => {
    try {
      if (!await Blazor.resumeCircuit()) location.reload();
    } catch {
      banner.classList.replace('components-reconnect-paused', 'components-reconnect-resume-failed');
    }
  };

  byId('components-reconnect-button').addEventListener('click', retry);
  byId('components-resume-button').addEventListener('click', resume);
  banner.addEventListener('components-reconnect-state-changed', event => {
    if (event.detail.state === 'rejected') location.reload();
  });
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible' && banner.classList.contains('components-reconnect-failed')) retry();
  });
});
