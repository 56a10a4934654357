// Every state of a contact and outcome of a criterion has a sign of its own, so that colour alone carries nothing.
export const SIGNS = {
  open: ["=", "good"],
  met: ["=", "good"],
  "cannot be told from open": ["=?", "fair"],
  "overlapped but readable": ["~", "fair"],
  "cannot be told from readable": ["~?", "fair"],
  short: ["~", "fair"],
  unreadable: ["x", "poor"],
  failed: ["x", "poor"],
  "not shown": ["-", "poor"],
  "cannot tell": ["?", "fair"],
};
