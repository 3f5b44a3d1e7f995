using System.Globalization;

namespace PatternCompiler.Oracles.Receiver;

/// <summary>What an instrument at the pins of a receiver saw in one run of a bench.</summary>
/// <param name="Fault">What the script did to it; -1 for nothing.</param>
/// <param name="Exposed">Where the deflection stood in each tick with the beam on.</param>
/// <param name="Messages">Status messages, in hexadecimal digits.</param>
/// <param name="EndsBlanked">The blank line is at its safe level in the end.</param>
/// <param name="EndsScanning">Scan-enable is up in the end.</param>
internal sealed record BenchRun(int Fault, List<(uint X, uint Y)> Exposed, List<string> Messages, bool EndsBlanked, bool EndsScanning)
{
    /// <summary>Kind of the last message.</summary>
    public char LastKind => (char)Convert.ToByte(Messages[^1][2..4], 16);

    /// <summary>Number of the fault in the last message.</summary>
    public int LastFault => Convert.ToByte(Messages[^1][4..6], 16);
}

/// <summary>Reads the log of a bench.</summary>
internal static class BenchLog
{
    private const int BlanksLow = 2;

    /// <summary>The runs of a log.</summary>
    /// <param name="log">Its text.</param>
    /// <param name="script">The script that it is of: it tells the level of each run's blank line.</param>
    public static List<BenchRun> Read(string log, string script)
    {
        List<int> levels = [];
        List<int> faults = [];
        foreach (string line in Lines(script))
        {
            if (line[0] == 's')
            {
                levels.Add((int)Number(line[2..]) >> 16);
                faults.Add(-1);
            }
            else if (line[0] == 'f')
            {
                faults[^1] = (int)Number(line[2..]);
            }
        }

        var runs = new List<BenchRun>();
        foreach (string line in Lines(log))
        {
            string[] words = line.Split(' ');
            string safe = words[0] == "run" || levels[runs.Count - 1] != BlanksLow ? "1" : "0";
            switch (words[0])
            {
                case "run":
                    runs.Add(new BenchRun(faults[runs.Count], [], [], false, false));
                    break;
                case "pins" when words[3] != safe:
                    runs[^1].Exposed.AddRange(Enumerable.Repeat((Number(words[1]), Number(words[2])), (int)Number(words[5])));
                    break;
                case "message":
                    runs[^1].Messages.Add(words[1]);
                    break;
                case "end":
                    runs[^1] = runs[^1] with { EndsBlanked = words[3] == safe, EndsScanning = words[4] == "1" };
                    break;
            }
        }

        return runs;
    }

    private static string[] Lines(string text) => text.Split('\n', StringSplitOptions.RemoveEmptyEntries);

    private static uint Number(string word) => uint.Parse(word, CultureInfo.InvariantCulture);
}
