using System.Diagnostics;
using PatternCompiler.Diagnostics;

namespace PatternCompiler.Fuzz.Running;

/// <summary>What was wrong with a run.</summary>
/// <param name="Kind">Type of the exception, or what else went wrong.</param>
/// <param name="Where">Method of the library in which it came up: faults of one kind in one place are one finding.</param>
/// <param name="Details">Message and stack.</param>
internal sealed record Fault(string Kind, string Where, string Details)
{
    /// <summary>True if both are the same finding.</summary>
    public bool IsSameAs(Fault? other) => other is not null && other.Kind == Kind && other.Where == Where;

    /// <summary>The fault that an exception is; null for the exception that the library documents.</summary>
    public static Fault? Of(Exception exception)
    {
        if (exception is CompileException)
        {
            return null;
        }

        string? where = new StackTrace(exception).GetFrames()
            .Select(frame => frame.GetMethod())
            .Where(method => method?.DeclaringType?.Namespace?.StartsWith("PatternCompiler.", StringComparison.Ordinal) == true)
            .Select(method => $"{method!.DeclaringType!.Name}.{method.Name}")
            .FirstOrDefault();
        return new Fault(exception.GetType().Name, where ?? "outside the library", exception.ToString());
    }
}
