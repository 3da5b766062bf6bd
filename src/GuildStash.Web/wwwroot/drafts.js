// The browser's part of drafts. A form with a mark data-draft-of is saved by the server when typing pauses, a field is left or a button
// pressed. Until the server says that it has them, the newest keystrokes are kept in this browser: a lost circuit hears nothing.
(() => {
  const prefix = 'guildstash.draft.';
  const pauseMs = 600;
  const retryMs = 3000;
  const answerMs = 15000;
  const keptMs = 30 * 24 * 3600 * 1000;
  const mostTries = 5;
  const drafts = new Map();
  let entered = null;

  const markOf = formId => document.querySelector(`[data-draft-of="${CSS.escape(formId)}"]`);
  const empty = () => ({ requestId: null, at: 0, fields: {} });

  function draftOf(formId) {
    if (!drafts.has(formId)) drafts.set(formId, { formId, key: null, server: null, ready: false, typed: 0, timer: 0, attempt: 0, sending: false, again: false, copy: empty() });
    return drafts.get(formId);
  }

  function read(key) {
    try {
      const copy = JSON.parse(localStorage.getItem(key));
      return copy?.fields && Date.now() - copy.at < keptMs ? copy : null;
    } catch {
      return null;
    }
  }

  function store(draft) {
    if (!draft.key) return;
    try {
      if (Object.keys(draft.copy.fields).length) localStorage.setItem(draft.key, JSON.stringify(draft.copy));
      else localStorage.removeItem(draft.key);
    } catch {
      // A full or forbidden store: the server's draft remains.
    }
  }

  function sweep() {
    for (const key of Object.keys(localStorage).filter(k => k.startsWith(prefix))) {
      if (!read(key)) localStorage.removeItem(key);
    }
  }

  function schedule(draft, ms) {
    clearTimeout(draft.timer);
    draft.timer = setTimeout(() => save(draft), ms);
  }

  async function save(draft) {
    if (!draft.ready || !markOf(draft.formId)) return;
    if (draft.sending) {
      draft.again = true;
      return;
    }

    const attempt = ++draft.attempt;
    const heard = draft.typed;
    draft.sending = true;
    let safe = false;
    try {
      const late = new Promise(resolve => setTimeout(() => resolve(false), answerMs));
      safe = await Promise.race([draft.server.invokeMethodAsync('SaveAsync'), late]);
    } catch {
      // The circuit is gone for now; the keystrokes stay here.
    }

    if (attempt !== draft.attempt) return;
    draft.sending = false;
    if (safe) {
      draft.copy.tries = 0;
      for (const [id, field] of Object.entries(draft.copy.fields)) {
        if (field.typed <= heard) delete draft.copy.fields[id];
      }
      store(draft);
    }
    if (!safe || draft.again) schedule(draft, safe ? 0 : retryMs);
    draft.again = false;
  }

  const isKept = field => field.id && field.matches('input, select, textarea')
    && !field.matches('[type=password], [type=file], [type=hidden], [type=submit], [type=button]') && !field.closest('.mud-input-control');

  function keep(event) {
    const field = event.target;
    const formId = field.form?.id;
    const mark = formId && markOf(formId);
    // A page that is drawn anew has no mark for a moment; what was begun before it goes on, or its first digits would be told over all of them.
    const isBegun = drafts.has(formId) && !drafts.get(formId).key;
    if (!(mark || isBegun) || !isKept(field)) return;
    const draft = draftOf(formId);
    if (draft.ready || !draft.copy.requestId) draft.copy.requestId = mark?.dataset.request ?? null;
    draft.copy.at = Date.now();
    draft.copy.fields[field.id] = { typed: ++draft.typed, value: field.value, checked: field.checked };
    store(draft);
    schedule(draft, pauseMs);
  }

  /** Tells the page what the circuit has not heard. That a field shows it already, as after a reconnection, doesn't mean that it was heard. */
  function tell(draft) {
    const fields = Object.entries(draft.copy.fields).sort(([, a], [, b]) => a.typed - b.typed);
    if (fields.length) {
      // What ends the connection each time it is told would otherwise be told for ever.
      draft.copy.tries = (draft.copy.tries ?? 0) + 1;
      if (draft.copy.tries > mostTries) draft.copy = { ...empty(), requestId: draft.copy.requestId };
      store(draft);
      if (!draft.copy.tries) return;
    }

    for (const [id, { value, checked }] of fields) {
      const field = document.getElementById(id);
      if (!field || field.form?.id !== draft.formId) continue;
      const ticks = field.matches('[type=checkbox], [type=radio]');
      if (ticks) field.checked = checked;
      else field.value = value;
      field.dispatchEvent(new Event('input', { bubbles: true }));
      field.dispatchEvent(new Event('change', { bubbles: true }));
    }
  }

  /** Takes the form into care; answers which form's keystrokes this browser still has, and from when. */
  function open(formId, name, server) {
    try {
      sweep();
    } catch {
      return null;
    }

    const draft = draftOf(formId);
    const early = draft.key ? empty() : draft.copy;
    Object.assign(draft, { key: prefix + name, server, ready: false, sending: false, attempt: draft.attempt + 1 });
    const copy = read(draft.key);
    const fields = Object.fromEntries(Object.entries(copy?.fields ?? {}).map(([id, field]) => [id, { ...field, typed: 0 }]));
    draft.copy = { ...(copy ?? early), fields: { ...fields, ...early.fields } };
    return copy && { requestId: copy.requestId, at: copy.at };
  }

  /** Where the cursor stood in a field that the server's draft replaced, it stands in its successor. */
  function putCursor(formId) {
    const field = entered && !entered.isConnected && document.activeElement === document.body && document.getElementById(entered.id);
    if (!field || field.form?.id !== formId) return;
    field.focus({ preventScroll: true });
    if (field.selectionStart !== null && entered.selectionStart !== null) field.setSelectionRange(entered.selectionStart, entered.selectionEnd);
  }

  /** Starts keeping, after the server has put its own draft into the form. */
  function begin(formId, withCopy) {
    const draft = draftOf(formId);
    if (!withCopy) {
      draft.copy.fields = Object.fromEntries(Object.entries(draft.copy.fields).filter(([, field]) => field.typed > 0));
    }
    draft.ready = true;
    draft.copy.requestId = markOf(formId)?.dataset.request ?? null;
    store(draft);
    tell(draft);
    putCursor(formId);
    if (Object.keys(draft.copy.fields).length) schedule(draft, pauseMs);
  }

  /** What was typed is submitted or thrown away. */
  function forget(formId) {
    const draft = draftOf(formId);
    clearTimeout(draft.timer);
    draft.copy = empty();
    store(draft);
  }

  function focus(formId) {
    document.querySelector(`#${CSS.escape(formId)} :is(input:not([type=radio], [type=checkbox], [type=hidden]), select, textarea):enabled`)?.focus();
  }

  function saveAllNow() {
    for (const draft of drafts.values()) {
      if (draft.ready) schedule(draft, 0);
    }
  }

  document.addEventListener('input', keep, true);
  document.addEventListener('change', keep, true);
  document.addEventListener('focusin', event => entered = event.target, true);
  document.addEventListener('focusout', event => event.target.form && saveAllNow());
  document.addEventListener('click', event => event.target.closest?.('button, [role=option], .mud-list-item') && saveAllNow());
  document.addEventListener('visibilitychange', () => document.visibilityState === 'hidden' && saveAllNow());
  document.addEventListener('DOMContentLoaded', () => {
    document.getElementById('components-reconnect-modal')?.addEventListener('components-reconnect-state-changed', event => {
      if (event.detail.state !== 'hide') return;
      for (const draft of drafts.values()) {
        Object.assign(draft, { sending: false, attempt: draft.attempt + 1 });
        tell(draft);
      }
      saveAllNow();
    });
  });

  window.guildStashDrafts = { open, begin, forget, focus };
})();
