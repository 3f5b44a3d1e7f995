using System.Collections.Immutable;
using System.CommandLine;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Jobs;
using PatternCompiler.Prediction.Waveforms;
using PatternCompiler.Units;

namespace PatternCompiler.Cli.Previewing;

/// <summary>The options of <c>preview --traces</c>: which part of the exposure is shown.</summary>
internal sealed class TraceOptions
{
    private readonly Option<bool> traces = new("--traces") { Description = "Draw what a stream or records do to the lines: both outputs, blank and scan-enable over time." };
    private readonly Option<Quantity?> from = QuantityOption.Create("--from", "With --traces: start of the window, counted from the first record.", Dimension.Time);
    private readonly Option<Quantity?> span = QuantityOption.CreatePositive("--for", "With --traces: length of the window; up to the end if absent.", Dimension.Time);
    private readonly Option<(long First, long Last)?> records = CreateRecords();

    private readonly Option<string?> measured = new InputFileOption("--measured") { Description = "With --traces: table of a scope (time, then channels) to lay over and compare." };
    private readonly Option<Quantity?> trigger = QuantityOption.Create("--trigger", "With --measured: where the scope's time 0 lies in the exposure; 0 s if absent.", Dimension.Time);
    private readonly Option<string?> channels = new("--channels")
    {
        Description = "With --measured: what the columns behind the time are, such as x,y,blank; - for none. By their names if absent.",
        HelpName = "LIST",
    };
    private readonly Option<string> numbers = FileOption.CreateWritten(
        "--numbers",
        result => IsJson(result.GetValue<string?>("--numbers")) ? OutputChoice.ByName("json") : new([FileContent.Text]),
        "With --measured: delay, gain, offset and what they leave, as text, or as JSON by the name.");

    /// <summary>All of them.</summary>
    public IEnumerable<Option> All => [traces, from, span, records, measured, trigger, channels, numbers];

    /// <summary>The measured table; null for none.</summary>
    public string? MeasuredOf(ParseResult result)
    {
        string? table = result.GetValue(measured);
        Option? stray = table is null ? new Option[] { trigger, channels, numbers }.FirstOrDefault(option => result.GetResult(option) is { Implicit: false }) : null;
        return stray is null ? table : throw Wrong($"{stray.Name} belongs to a measured trace", "name its table with --measured");
    }

    /// <summary>Where the scope's time 0 lies, in seconds of the exposure.</summary>
    public double TriggerOf(ParseResult result) => result.GetValue(trigger)?.In(Unit.Second) ?? 0;

    /// <summary>Name of the file of numbers; null for none.</summary>
    public string? NumbersOf(ParseResult result) => result.GetValue(numbers);

    /// <summary>What the columns are; empty to go by their names.</summary>
    public ImmutableArray<string> ChannelsOf(ParseResult result)
    {
        string? text = result.GetValue(channels);
        ImmutableArray<string> words = text is null ? [] : [.. text.Split(',', StringSplitOptions.TrimEntries)];
        string? unknown = words.FirstOrDefault(word => word is not ("x" or "y" or "blank" or "scan" or "-"));
        return unknown is null ? words : throw Wrong($"--channels takes x, y, blank, scan or -, not '{unknown}'", "write for example x,y,blank");
    }

    /// <summary>True if traces are asked for.</summary>
    public bool AreAsked(ParseResult result)
    {
        bool areAsked = result.GetValue(traces);
        Option? stray = areAsked ? null : All.Skip(1).FirstOrDefault(option => result.GetResult(option) is { Implicit: false });
        return stray is null ? areAsked : throw Wrong($"{stray.Name} belongs to traces", "add --traces");
    }

    /// <summary>The window that is asked for.</summary>
    public TraceWindow WindowOf(ParseResult result)
    {
        Quantity? start = result.GetValue(from);
        Quantity? length = result.GetValue(span);
        if (result.GetValue(records) is (long first, long last))
        {
            return start is null && length is null
                ? TraceWindow.OfRecords(first, last)
                : throw Wrong("--records and a window of time exclude each other", "leave out --records, or --from and --for");
        }

        double fromSeconds = start?.In(Unit.Second) ?? 0;
        return fromSeconds < 0 ? throw Wrong("--from is before the first record", "times count from the start of the first record")
            : start is null && length is null ? TraceWindow.Usual
            : TraceWindow.OfTime(fromSeconds, length?.In(Unit.Second) ?? double.PositiveInfinity);
    }

    /// <summary>True for the name of a JSON file.</summary>
    public static bool IsJson(string? name) => name?.EndsWith(".json", StringComparison.OrdinalIgnoreCase) == true;

    /// <summary>A command line that asks for what cannot be.</summary>
    public static CompileException Wrong(string message, string fix) => new(CommandCodes.WrongUsage, message, new SourcePlace("patternc preview"), fix);

    private static Option<(long First, long Last)?> CreateRecords() => new("--records")
    {
        Description = "With --traces: window by numbers of records, from 0, such as 100,250.",
        HelpName = "FIRST,LAST",
        CustomParser = result =>
        {
            string text = result.Tokens[0].Value;
            string[] parts = text.Split(',');
            if (parts.Length == 2 && NumberText.TryParseInteger(parts[0].Trim(), out long first) && NumberText.TryParseInteger(parts[1].Trim(), out long last) && first >= 0 && last >= first)
            {
                return (first, last);
            }

            result.AddError($"option '--records' takes two numbers FIRST,LAST, the first from 0 and the last not below it, not '{text}'; write for example 100,250");
            return null;
        },
    };
}
