/** Which thing of the record is open for a change; `Edit.svelte` in the shell shows its form. */
export interface Editing {
  /** What is changed; null for a new thing. */
  subject: string | null;
  kind: string;
  /** What a new thing begins with. */
  body: Record<string, unknown>;
  /** Where several words on one thing are settled by this one: all that it replaces, and who sees it. */
  settles?: { parents: string[]; visibility: string; happened_on: string | null };
}

class OpenEditing {
  now = $state.raw<Editing | null>(null);

  /** Open a thing that is in the record. */
  open(subject: string): void {
    this.now = { subject, kind: "", body: {} };
  }

  /** Open the form of a new thing. */
  add(kind: string, body: Record<string, unknown> = {}): void {
    this.now = { subject: null, kind, body };
  }

  /** Open the form of a word that settles several: it begins with one of them. */
  settle(kind: string, subject: string, body: Record<string, unknown>, settles: Editing["settles"]): void {
    this.now = { subject, kind, body, ...(settles && { settles }) };
  }

  close(): void {
    this.now = null;
  }
}

export const editing = new OpenEditing();
