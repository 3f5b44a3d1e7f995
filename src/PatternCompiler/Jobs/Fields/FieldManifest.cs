using System.Collections.Immutable;
using PatternCompiler.Passes.Fields;

namespace PatternCompiler.Jobs.Fields;

/// <summary>The list of a job's write fields: where the stage goes, in which order, and what is written there.</summary>
/// <param name="JobName">Name of the job.</param>
/// <param name="MachineName">Name of the machine.</param>
/// <param name="Plan">Sizes and places of the fields.</param>
/// <param name="Visits">The visits in order.</param>
internal sealed record FieldManifest(string JobName, string MachineName, FieldPlan Plan, ImmutableArray<FieldVisit> Visits)
{
    /// <summary>Time of all moves of the stage.</summary>
    public double MoveSeconds => Visits.Sum(visit => visit.MoveSeconds);

    /// <summary>Time that the beam takes, or null where the fields are not compiled so far.</summary>
    public double? WriteSeconds => Visits.All(visit => visit.WriteSeconds is not null) ? Visits.Sum(visit => visit.WriteSeconds) : null;
}
