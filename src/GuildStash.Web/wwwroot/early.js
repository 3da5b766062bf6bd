// A page can be read and typed into before its circuit listens, and is then drawn anew. What a person typed, ticked or pressed until then
// is told to the new page, and the cursor stands where it stood. The fields of a form with a draft are told by drafts.js, after the server's
// own draft; they show what was typed at once, so that the next keystroke goes on from it.
(() => {
  const root = document.documentElement;
  const giveUpMs = 15000;
  const fields = new Map();
  let page = null;
  let cursor = null;
  let pressed = null;
  let path = '';
  let end = 0;

  /** Whether the page still is the one that came with the answer and hears nothing. */
  const isEarly = () => root.dataset.interactive === 'soon' && !!(page ??= document.querySelector('main'))?.isConnected;
  const ticks = field => field.matches('[type=checkbox], [type=radio]');
  const inDraft = field => !!field.form?.id && !!document.querySelector(`[data-draft-of="${CSS.escape(field.form.id)}"]`);
  const alike = button => [...document.querySelectorAll('main button')].filter(other => other.textContent.trim() === button.textContent.trim());

  function typed({ target }) {
    if (target.id && target.matches('main :is(input:not([type=file]), select, textarea)')) fields.set(target.id, { was: target, isDraft: inDraft(target) });
  }

  function entered({ target }) {
    cursor = target.id && target.closest('main') ? target : null;
  }

  function clicked({ target }) {
    const button = target.closest('main button');
    if (button) pressed = { button, place: alike(button).indexOf(button), isDraft: inDraft(button) };
  }

  /** The element that stands for one of the page as it was; null until it is drawn and can be used. */
  function successor(element) {
    const now = element.isConnected ? null : document.getElementById(element.id);
    return now?.matches(element.localName) && !now.disabled ? now : null;
  }

  function tellFields() {
    for (const [id, { was, isDraft }] of fields) {
      const field = successor(was);
      const waits = field?.matches('select') && ![...field.options].some(option => option.value === was.value);
      if (!field || waits) continue;
      fields.delete(id);
      if (ticks(field) ? field.checked === was.checked : field.value === was.value) continue;
      if (ticks(field)) field.checked = was.checked;
      else field.value = was.value;
      if (isDraft) continue;
      field.dispatchEvent(new Event('input', { bubbles: true }));
      field.dispatchEvent(new Event('change', { bubbles: true }));
    }
  }

  function putCursor() {
    const field = cursor && successor(cursor);
    if (!field) return;
    const [from, to] = [cursor.selectionStart, cursor.selectionEnd];
    cursor = null;
    if (document.activeElement?.matches('main :is(input, select, textarea, button, a)')) return;
    field.focus({ preventScroll: true });
    if (from !== null && from !== undefined && field.selectionStart !== null) field.setSelectionRange(from, to);
  }

  function press() {
    const button = pressed && !pressed.button.isConnected && alike(pressed.button)[pressed.place];
    if (!button || button.disabled) return;
    // A form that finds an older draft shows it first: it is sent only by a person who has seen it.
    if (button.type === 'submit' && pressed.isDraft) button.focus();
    else button.click();
    pressed = null;
  }

  const redrawn = new MutationObserver(() => {
    if (isEarly()) return;
    if (location.pathname !== path) {
      forget();
      return;
    }

    tellFields();
    putCursor();
    press();
    end ||= setTimeout(forget, giveUpMs);
  });

  function forget() {
    redrawn.disconnect();
    clearTimeout(end);
    fields.clear();
    [cursor, pressed, path, end] = [null, null, '', 0];
  }

  for (const [name, hear] of Object.entries({ input: typed, change: typed, focusin: entered, click: clicked })) {
    document.addEventListener(name, event => {
      if (!isEarly()) return;
      hear(event);
      if (path || !(fields.size || cursor || pressed)) return;
      path = location.pathname;
      redrawn.observe(root, { childList: true, subtree: true });
    }, true);
  }

  // Sent as a plain form it would leave the page, and lose what was typed.
  document.addEventListener('submit', event => isEarly() && event.preventDefault(), true);
  document.addEventListener('DOMContentLoaded', isEarly);
})();
