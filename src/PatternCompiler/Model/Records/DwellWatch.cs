using PatternCompiler.Diagnostics;
using PatternCompiler.Diagnostics.Catalogue;
using PatternCompiler.Units;

namespace PatternCompiler.Model.Records;

/// <summary>Counts points whose dwell lies outside the limits that the header states, and warns once at the end.</summary>
internal sealed class DwellWatch(RecordsHeader header)
{
    private long outside;

    /// <summary>Looks at one record. A line's dwells differ by one tick at most, so its mean decides.</summary>
    public void See(in DeflectionRecord record)
    {
        if (record.Points == 0)
        {
            return;
        }

        long shortest = record.Ticks / record.Points;
        long longest = shortest * record.Points == record.Ticks ? shortest : shortest + 1;
        if (shortest < header.MinimumDwellTicks || longest > header.MaximumDwellTicks)
        {
            outside++;
        }
    }

    /// <summary>Reports what was counted.</summary>
    public void Report(string name, DiagnosticSink diagnostics)
    {
        if (outside > 0)
        {
            diagnostics.Warn(
                DocumentCodes.DwellOutsideLimits,
                $"{CountText.Of(outside, "record dwells", "records dwell")} outside {header.MinimumDwellTicks} to {header.MaximumDwellTicks} ticks a point",
                new SourcePlace(name),
                "make the records again for this machine");
        }
    }
}
