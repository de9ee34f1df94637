// Imported before the control library, which makes a style element as it loads and looks in a `csp-nonce` meta element
// for the nonce that the page's content policy asks for.

const nonce = document.getElementById('app')?.dataset['nonce'];
if (nonce) {
  const meta = document.createElement('meta');
  meta.setAttribute('property', 'csp-nonce');
  meta.content = nonce;
  document.head.append(meta);
}
