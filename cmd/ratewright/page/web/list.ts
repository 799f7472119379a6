/** The list of patches: a button each that shows its place, in one of two orders. */
export class PatchList {
  private readonly list: HTMLOListElement | null;
  private chosen: Element | null = null;

  constructor(section: HTMLElement | null, jump: (patch: number) => void) {
    this.list = section?.querySelector("ol") ?? null;
    if (section === null || this.list === null) return;
    this.list.addEventListener("click", (e) => {
      const button = e.target instanceof Element ? e.target.closest("button[data-patch]") : null;
      if (!(button instanceof HTMLElement)) return;
      this.mark(button);
      jump(Number(button.dataset.patch));
    });
    if (this.items().some((li) => Number(li.dataset.shortKg) > 0)) this.list.before(this.sorter());
  }

  /** Marks the button of the patch that is framed; null for none. */
  mark(button: Element | null): void {
    this.chosen?.removeAttribute("aria-current");
    this.chosen = button;
    button?.setAttribute("aria-current", "location");
  }

  buttonOf(patch: number): Element | null {
    return this.list?.querySelector(`button[data-patch="${patch}"]`) ?? null;
  }

  private items(): HTMLLIElement[] {
    return [...(this.list?.children ?? [])].filter((c): c is HTMLLIElement => c instanceof HTMLLIElement);
  }

  private sorter(): HTMLElement {
    const set = document.createElement("div");
    set.className = "sort";
    set.setAttribute("role", "group");
    set.setAttribute("aria-label", "Order of the list");
    set.append(
      this.choice("Largest area first", true, (li) => Number(li.dataset.areaM2)),
      this.choice("Most nitrogen short first", false, (li) => Number(li.dataset.shortKg)),
    );
    return set;
  }

  private choice(words: string, first: boolean, key: (li: HTMLLIElement) => number): HTMLElement {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = words;
    button.setAttribute("aria-pressed", String(first));
    button.addEventListener("click", () => {
      for (const other of button.parentElement?.children ?? []) other.setAttribute("aria-pressed", String(other === button));
      const value = (li: HTMLLIElement) => key(li) || 0;
      this.list?.append(...this.items().sort((a, b) => value(b) - value(a)));
    });
    return button;
  }
}
