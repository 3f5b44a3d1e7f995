using PatternCompiler.Diagnostics;
using PatternCompiler.Passes.Fields;
using PatternCompiler.Units;

namespace PatternCompiler.Jobs.Fields;

/// <summary>
/// Gathers the notes and warnings of all write fields. What comes up in many fields is told once, with the field where it
/// comes up first and the number of the others.
/// </summary>
internal sealed class FieldMessages
{
    private readonly List<(string Field, Diagnostic Message)> gathered = [];

    /// <summary>A sink for the messages about one field.</summary>
    public DiagnosticSink SinkOf(WriteField field) => new(message => gathered.Add((field.Name, message)));

    /// <summary>Reports what was gathered.</summary>
    public void ReportTo(DiagnosticSink sink)
    {
        foreach (IGrouping<(DiagnosticCode, Severity), (string Field, Diagnostic Message)> kind in gathered.GroupBy(entry => (entry.Message.Code, entry.Message.Severity)))
        {
            (string field, Diagnostic message) = kind.First();
            int others = kind.Select(entry => entry.Field).Distinct().Count() - 1;
            string text = others == 0 ? message.Message : $"{message.Message} (and so in {CountText.Of(others, "more field", "more fields")})";
            SourcePlace place = In(field, message.Place);
            if (message.Severity == Severity.Note)
            {
                sink.Note(message.Code, text, place, message.Fix);
            }
            else
            {
                sink.Warn(message.Code, text, place, message.Fix);
            }
        }
    }

    /// <summary>An error with the field in which it came up.</summary>
    public static CompileException In(WriteField field, CompileException fault)
    {
        Diagnostic told = fault.Diagnostic;
        return new CompileException(told with { Place = In(field.Name, told.Place) }, fault);
    }

    private static SourcePlace In(string field, SourcePlace place) => place.Item is ItemPlace item
        ? place with { Item = item with { Field = field } }
        : place with { Entity = place.Entity is string entity ? $"{entity} in field {field}" : $"field {field}" };
}
