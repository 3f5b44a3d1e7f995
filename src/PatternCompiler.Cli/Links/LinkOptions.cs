using System.CommandLine;
using System.CommandLine.Parsing;
using PatternCompiler.Cli.Arguments;
using PatternCompiler.Send;

namespace PatternCompiler.Cli.Links;

/// <summary>The options that say how a receiver is reached, and how long it is waited for.</summary>
internal sealed class LinkOptions
{
    private readonly Option<string?> link = FileOption.Create("--link", "Serial port, device or pipe to the receiver; - for standard output and input.", "PORT");
    private readonly Option<long?> baud = NumberOption.CreateWhole("--baud", "Bits per second of a serial port; 115200 if absent.", 300, 20_000_000);
    private readonly ChoiceOption<bool> flow = ChoiceOption<bool>.Create("--flow", "Whether the port's request and clear lines hold back bytes.", new(("none", false), ("hardware", true)));
    private readonly Option<double?> timeout = NumberOption.CreateReal("--timeout", "Seconds to wait for a silent receiver beyond the time that the records take; 5 if absent.", 0.1, 86_400, "SECONDS");
    private readonly Option<long?> retries = NumberOption.CreateWhole("--retries", "How often to go on after a fault of the link; 3 if absent.", 0, 1_000_000);

    /// <summary>Adds them to a command.</summary>
    /// <param name="command">The command.</param>
    /// <param name="isRequired">The link must be named.</param>
    public void AddTo(PatternCommand command, bool isRequired)
    {
        link.Required = isRequired;
        foreach (Option option in (Option[])[link, baud, flow, timeout, retries])
        {
            command.Options.Add(option);
        }
    }

    /// <summary>True if a line that is being judged names the link.</summary>
    public bool IsNamed(CommandResult result) => result.GetValue(link) is not null;

    /// <summary>The link as it was named; null if it was not.</summary>
    public string? NameIn(ParseResult result) => result.GetValue(link);

    /// <summary>Timeout and retries, from a record on, counted from 1.</summary>
    public SendOptions In(ParseResult result, long? from) => new(
        result.GetValue(timeout) is double seconds ? TimeSpan.FromSeconds(seconds) : SendOptions.Default.Timeout,
        (int)(result.GetValue(retries) ?? SendOptions.Default.MostRetries),
        (from ?? 1) - 1);

    /// <summary>Opens the link.</summary>
    public ReceiverLink Open(ParseResult result) => ReceiverLink.Open(NameIn(result)!, (int?)result.GetValue(baud), flow.In(result));
}
