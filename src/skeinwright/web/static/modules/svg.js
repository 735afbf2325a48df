// Elements of a drawing over a picture.

const NS = "http://www.w3.org/2000/svg";

/** An SVG element with its attributes, put at the end of `parent` where one is given. */
export function make(name, attributes, parent) {
  const made = document.createElementNS(NS, name);
  for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
  parent?.append(made);
  return made;
}
