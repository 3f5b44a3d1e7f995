namespace PatternCompiler.Mutants;

/// <summary>The numbers of a measurement, by room.</summary>
internal static class RoomTable
{
    public static void Write(TextWriter output, IReadOnlyCollection<Judgement> judgements)
    {
        output.WriteLine($"{"room",-28}{"made",7}{"caught",8}{"timeout",9}{"missed",8}{"equiv.",8}{"not reached",13}{"noticed",9}");
        foreach (IGrouping<string, Judgement> room in judgements.GroupBy(j => j.Mutant.Room).OrderBy(g => g.Key, StringComparer.Ordinal))
        {
            WriteRow(output, room.Key, [.. room]);
        }

        Judgement[] writing = [.. judgements.Where(j => MeasurementOptions.IsWriting(j.Mutant.File))];
        if (writing.Length is > 0 && writing.Length < judgements.Count)
        {
            WriteRow(output, "where samples are written", writing);
        }

        WriteRow(output, "all", [.. judgements]);
    }

    private static void WriteRow(TextWriter output, string name, Judgement[] of)
    {
        int Count(Verdict verdict) => of.Count(j => j.Verdict == verdict);
        int noticed = Count(Verdict.Caught) + Count(Verdict.Timeout);
        int faults = noticed + Count(Verdict.Missed) + Count(Verdict.NotReached);
        string share = faults == 0 ? "-" : $"{100.0 * noticed / faults:0.0}%";
        output.WriteLine($"{name,-28}{of.Length,7}{Count(Verdict.Caught),8}{Count(Verdict.Timeout),9}{Count(Verdict.Missed),8}{Count(Verdict.Equivalent),8}{Count(Verdict.NotReached),13}{share,9}");
    }
}
