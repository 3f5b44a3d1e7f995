using System.Globalization;
using System.Text;
using PatternCompiler.Pictures;

namespace PatternCompiler.Reports.Html;

/// <summary>The look of all pages: one column, light or dark as the reader's system asks, and plain on paper.</summary>
internal static class ReportStyle
{
    private const string Page = """
        :root {
          color-scheme: light dark;
          --ink: #23282e; --faint: #59626a; --paper: #fbfbf9; --card: #ffffff; --rule: #d9dcdd;
          --link: #215a94; --warn: #a80e42; --warn-card: #fcf1f4; --plate: #f7f7f4; --good: #1d6b4f;
        }
        @media (prefers-color-scheme: dark) {
          :root {
            --ink: #e3e6e8; --faint: #a3abb2; --paper: #15181b; --card: #1c2024; --rule: #3a4046;
            --link: #8dbbe8; --warn: #ff9db5; --warn-card: #2b1c21; --plate: #f7f7f4; --good: #7fcfae;
          }
        }
        * { box-sizing: border-box; }
        html { -webkit-text-size-adjust: 100%; text-size-adjust: 100%; }
        body {
          margin: 0; background: var(--paper); color: var(--ink);
          font: 1rem/1.5 system-ui, sans-serif; font-variant-numeric: lining-nums tabular-nums; overflow-wrap: break-word;
        }
        .page { max-width: 66rem; margin: 0 auto; padding: 1.5rem clamp(1rem, 4vw, 2.5rem) 3rem; }
        h1, h2 { font-family: ui-serif, Georgia, serif; font-weight: 600; line-height: 1.2; text-wrap: balance; }
        h1 { font-size: clamp(1.7rem, 6vw, 2.5rem); margin: .2rem 0 .4rem; }
        h2 { font-size: 1.35rem; margin: 3rem 0 .8rem; padding-top: .7rem; border-top: 1px solid var(--rule); }
        h3 { font-size: 1rem; margin: 1.4rem 0 .4rem; }
        p { margin: .5rem 0; max-width: 44rem; }
        a { color: var(--link); text-underline-offset: .15em; }
        .kind { margin: 0; color: var(--faint); font-size: .85rem; letter-spacing: .06em; text-transform: uppercase; }
        .lede { color: var(--faint); margin: 0; }
        nav ul { list-style: none; display: flex; flex-wrap: wrap; gap: .3rem 1.1rem; margin: 1.2rem 0 0; padding: 0; font-size: .9rem; }
        .facts { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(8.4rem, 100%), 1fr)); gap: 1rem 1.4rem; margin: 1.6rem 0 0; }
        .facts div { border-left: 2px solid var(--rule); padding-left: .7rem; }
        .facts dt { color: var(--faint); font-size: .82rem; }
        .facts dd { margin: 0; font-size: 1.2rem; line-height: 1.3; }
        .verdict { margin: 1.6rem 0 0; padding: .7rem .9rem; border: 1px solid var(--rule); border-left: 4px solid var(--good); background: var(--card); max-width: none; }
        .verdict.doubt { border-left-color: var(--warn); background: var(--warn-card); }
        .plates { display: grid; grid-template-columns: repeat(auto-fit, minmax(min(100%, 24rem), 1fr)); gap: 1.6rem; align-items: start; }
        .plates.three { grid-template-columns: repeat(auto-fit, minmax(min(100%, 20rem), 1fr)); }
        .compared tbody th { min-width: 8rem; }
        .details { margin: .3rem 0 1rem; padding-left: 1.1rem; overflow-wrap: anywhere; font-size: .92rem; }
        figure { margin: 0; min-width: 0; }
        .plate { background: var(--plate); color: #23282e; border: 1px solid var(--rule); padding: .5rem .4rem .6rem; }
        .plate img { display: block; width: 100%; max-width: 34rem; height: auto; margin: 0 auto; }
        .wide-plate img { max-width: none; }
        h3.step { font-size: 1.15rem; margin-top: 2.4rem; }
        h4 { font-size: .95rem; margin: 1rem 0 .3rem; }
        .plate ul { list-style: none; display: flex; flex-wrap: wrap; gap: .2rem 1.1rem; margin: .3rem .6rem 0; padding: 0; font-size: .82rem; }
        .plate li { display: flex; align-items: center; gap: .45rem; min-width: 0; overflow-wrap: anywhere; }
        .key { flex: none; display: inline-block; width: 1.2rem; height: .75rem; }
        .key.line, .key.alarm { height: 2px; }
        .key.dot, .key.start { width: .55rem; height: .55rem; border-radius: 50%; }
        .key.start, .key.finish { border: 2px solid #23282e; background: #fff; width: .7rem; height: .7rem; }
        .key.jump { height: 0; border-top: 2px dashed #be104a; }
        .key.alarm { background: #be104a; height: 3px; }
        .key.raster { background: linear-gradient(#8a949b 1px, transparent 1px) 0 0 / 4px 4px, linear-gradient(90deg, #8a949b 1px, transparent 1px) 0 0 / 4px 4px; }
        .key.tint { width: 4.5rem; }
        figcaption { font-size: .88rem; color: var(--faint); margin-top: .5rem; max-width: 44rem; }
        figcaption p { margin: .2rem 0; }
        figcaption b { color: var(--ink); }
        .scroll { overflow-x: auto; margin: .8rem 0; }
        .scroll:focus-visible { outline: 2px solid var(--link); outline-offset: 2px; }
        table { border-collapse: collapse; min-width: min(100%, 32rem); font-size: .92rem; }
        caption { text-align: left; color: var(--faint); font-size: .88rem; padding-bottom: .4rem; max-width: calc(100vw - 2rem); }
        th, td { text-align: left; vertical-align: top; padding: .35rem .9rem .35rem 0; border-bottom: 1px solid var(--rule); }
        thead th { color: var(--faint); font-weight: 600; font-size: .82rem; vertical-align: bottom; }
        tbody th { font-weight: 500; overflow-wrap: anywhere; min-width: 9em; }
        td.number, th.number { text-align: right; white-space: nowrap; }
        .number + td:not(.number), .number + th:not(.number) { padding-left: .7rem; }
        .wide { width: 100%; min-width: 46rem; }
        .wide-page { max-width: 88rem; }
        .jobs { min-width: 62rem; font-size: .88rem; }
        .jobs tbody th { min-width: 12rem; }
        .jobs td:not(.number) { min-width: 6.5rem; }
        .jobs thead button { all: unset; cursor: pointer; color: var(--link); }
        .jobs thead button:focus-visible { outline: 2px solid var(--link); outline-offset: 2px; }
        .jobs [aria-sort=ascending] button::after { content: " ▲" / ""; }
        .jobs [aria-sort=descending] button::after { content: " ▼" / ""; }
        .finder:not([hidden]) { display: flex; flex-wrap: wrap; gap: .4rem 1.1rem; align-items: baseline; font-size: .92rem; }
        .finder p { margin: 0; }
        .finder input, .finder select { font: inherit; color: inherit; background: var(--card); border: 1px solid var(--faint); padding: .25rem .4rem; max-width: 100%; }
        .scroll-hint { display: none; color: var(--faint); font-size: .88rem; }
        .print, .hole { margin: 0; font-size: .82rem; width: 10.5rem; }
        .print img { display: block; width: 10.5rem; height: auto; border: 1px solid var(--rule); margin-bottom: .25rem; }
        .print + .print { margin-top: .8rem; }
        .hole { color: var(--faint); border: 1px dashed var(--rule); padding: .5rem; min-height: 4rem; }
        ul.prints { list-style: none; display: flex; flex-wrap: wrap; gap: 1.2rem; margin: 1rem 0; padding: 0; }
        table.prints { width: auto; min-width: 0; }
        table.prints thead th, table.prints tbody th { color: var(--ink); font-size: .88rem; }
        table.prints tbody th { overflow-wrap: normal; white-space: nowrap; }
        tr.total th, tr.total td { border-bottom: 0; font-weight: 600; }
        .given { display: block; color: var(--faint); font-size: .94em; }
        .fits { color: var(--good); }
        .doubt-text { color: var(--warn); font-weight: 600; }
        code { font: .82rem/1.4 ui-monospace, monospace; overflow-wrap: anywhere; }
        .bar { display: block; width: 100%; height: .8rem; margin: .9rem 0; border: 1px solid var(--rule); }
        .message { border-left: 4px solid var(--rule); padding: .1rem 0 .1rem .9rem; margin: 1.1rem 0; }
        .message.warning { border-left-color: var(--warn); }
        .message h3 { margin: 0; }
        .message ul { margin: .3rem 0; padding-left: 1.1rem; max-width: 48rem; }
        .badge { font-weight: 600; color: var(--faint); font-size: .82rem; text-transform: uppercase; letter-spacing: .05em; margin-right: .5rem; }
        .warning .badge { color: var(--warn); }
        details { margin: .2rem 0; max-width: 44rem; }
        summary { cursor: pointer; color: var(--link); font-size: .88rem; }
        .cautions li { margin: .4rem 0; max-width: 44rem; }
        footer { margin-top: 3rem; padding-top: .8rem; border-top: 1px solid var(--rule); color: var(--faint); font-size: .85rem; }
        @media (max-width: 66rem) {
          .scroll-hint:not(.slim) { display: block; }
        }
        @media (max-width: 49rem) {
          .scroll-hint { display: block; }
        }
        @media (max-width: 34rem) {
          th, td { padding-right: .55rem; }
          th:last-child, td:last-child { padding-right: 0; }
          table { font-size: .88rem; }
          h2 { margin-top: 2.2rem; }
        }
        @media print {
          :root { --ink: #000; --faint: #444; --paper: #fff; --card: #fff; --rule: #bbb; --link: #000; --warn: #8a0b36; --warn-card: #fff; --plate: #fff; --good: #000; }
          body { font-size: 10pt; }
          .page { max-width: none; padding: 0; }
          nav { display: none; }
          h2, h3 { break-after: avoid; }
          figure, tr, .message, .verdict { break-inside: avoid; }
          .scroll { overflow: visible; }
          .wide { min-width: 0; }
          .scroll-hint, .finder:not([hidden]) { display: none; }
          .key, .bar rect { print-color-adjust: exact; -webkit-print-color-adjust: exact; }
        }

        """;

    /// <summary>The style sheet, with the pictures' colours for their legends.</summary>
    public static string Text { get; } = Page + Colours();

    private static string Colours()
    {
        var css = new StringBuilder();
        for (int hue = 0; hue < Palette.HueCount; hue++)
        {
            string colour = Hex(Palette.Hue(hue));
            css.Append(CultureInfo.InvariantCulture, $".hue{hue} {{ background: {colour}; fill: {colour}; }}\n");
            css.Append(CultureInfo.InvariantCulture, $".tint.hue{hue} {{ background: linear-gradient(90deg, {Hex(Palette.Tint(hue, 1))}, {Hex(Palette.Tint(hue, Palette.TintCount))}); }}\n");
        }

        return css.ToString();
    }

    private static string Hex(PictureColour colour) => string.Create(CultureInfo.InvariantCulture, $"#{colour.Red:x2}{colour.Green:x2}{colour.Blue:x2}");
}
