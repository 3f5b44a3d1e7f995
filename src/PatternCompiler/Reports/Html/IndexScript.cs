namespace PatternCompiler.Reports.Html;

/// <summary>
/// Sorts and filters the table of the jobs. A head becomes a button: the first press sorts upwards, the second downwards, the third puts
/// back the order of the batch. Rows that are equal stay in that order, and what is not known stays at the end.
/// </summary>
internal static class IndexScript
{
    /// <summary>The script.</summary>
    public const string Text = """
        (() => {
          "use strict";
          const table = document.getElementById("job-table");
          const body = table.tBodies[0];
          const rows = [...body.rows];
          const heads = [...table.tHead.rows[0].cells];
          const words = document.getElementById("job-words");
          const state = document.getElementById("job-state");
          const count = document.getElementById("job-count");
          const collator = new Intl.Collator("en", { numeric: true });
          const keyOf = (row, column, isNumber) => {
            const value = row.cells[column].dataset.value;
            return value === "" || value === "–" ? null : isNumber ? Number(value) : value;
          };
          const sort = (column, direction) => {
            heads.forEach((head, i) => head.setAttribute("aria-sort", i === column ? direction : "none"));
            const isNumber = heads[column].classList.contains("number") || heads[column].dataset.kind === "number";
            const sign = direction === "descending" ? -1 : 1;
            const keyed = rows.map(row => ({ row, key: keyOf(row, column, isNumber) }));
            if (direction !== "none") {
              keyed.sort((a, b) =>
                a.key === null || b.key === null ? (a.key === null) - (b.key === null)
                : sign * (isNumber ? a.key - b.key : collator.compare(a.key, b.key)));
            }
            body.append(...keyed.map(item => item.row));
          };
          heads.forEach((head, column) => {
            const button = document.createElement("button");
            button.type = "button";
            button.append(...head.childNodes);
            head.append(button);
            head.setAttribute("aria-sort", "none");
            button.addEventListener("click", () => {
              const now = head.getAttribute("aria-sort");
              sort(column, now === "none" ? "ascending" : now === "ascending" ? "descending" : "none");
            });
          });
          const filter = () => {
            const wanted = words.value.trim().replace(/\s+/g, " ").toLowerCase();
            let shown = 0;
            for (const row of rows) {
              const text = row.textContent.replace(/\s+/g, " ").toLowerCase();
              const fits = (state.value === "" || row.dataset.state === state.value) && text.includes(wanted);
              row.hidden = !fits;
              shown += fits;
            }
            count.textContent = shown === rows.length ? "" : `${shown} of ${rows.length} shown`;
          };
          words.addEventListener("input", filter);
          state.addEventListener("change", filter);
          const finder = document.getElementById("job-finder");
          finder.hidden = false;
          table.caption.textContent = "Jobs in the order of the batch; a head sorts them: upwards, downwards, as they were";
          filter();
          const hints = [...document.querySelectorAll(".scroll-hint")];
          const tell = () => {
            for (const hint of hints) {
              const part = hint.nextElementSibling;
              hint.style.display = part.scrollWidth > part.clientWidth ? "block" : "none";
            }
          };
          addEventListener("resize", tell);
          tell();
        })();

        """;
}
