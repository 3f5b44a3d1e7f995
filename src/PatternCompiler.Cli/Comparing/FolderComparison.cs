using System.Collections.Immutable;
using PatternCompiler.Diagnostics;
using PatternCompiler.Prediction.Compare;

namespace PatternCompiler.Cli.Comparing;

/// <summary>The files of two folders, compared one by one.</summary>
/// <param name="Files">The files: missing, new, then those that both have, each group in the order of names.</param>
internal sealed record FolderComparison(ImmutableArray<FileComparison> Files)
{
    /// <summary>Compares every file that both have; one that cannot be read does not stop the others.</summary>
    public static FolderComparison Of(string first, string second, DocumentPair pair, CompareOptions options)
    {
        FolderPair names = FolderPair.Of(first, second);
        return new FolderComparison(
        [
            .. names.OnlyFirst.Select(name => new FileComparison(name, FileOutcome.Missing)),
            .. names.OnlySecond.Select(name => new FileComparison(name, FileOutcome.New)),
            .. names.Both.Select(name => Compare(name, Path.Combine(first, name), Path.Combine(second, name), pair, options)),
        ]);
    }

    /// <summary>How many files ended so.</summary>
    public int Count(FileOutcome outcome) => Files.Count(file => file.Outcome == outcome);

    /// <summary>Names of the files that ended so.</summary>
    public IEnumerable<string> Names(FileOutcome outcome) => Files.Where(file => file.Outcome == outcome).Select(file => file.Name);

    private static FileComparison Compare(string name, string first, string second, DocumentPair pair, CompareOptions options)
    {
        try
        {
            if (pair.AreSameBytes(first, second))
            {
                return new FileComparison(name, FileOutcome.Same);
            }

            if (!pair.IsDocument(first) || !pair.IsDocument(second))
            {
                return new FileComparison(name, FileOutcome.Different);
            }

            DocumentComparison? difference = pair.Compare(first, second, options);
            bool same = difference is null || difference.AreEqual(options);
            return new FileComparison(name, same ? FileOutcome.Same : FileOutcome.Different, difference);
        }
        catch (CompileException failure) when (failure.Diagnostic.Code.Kind == DiagnosticKind.Input)
        {
            return new FileComparison(name, FileOutcome.Unreadable, Fault: failure.Diagnostic);
        }
    }
}

/// <summary>One file of two folders.</summary>
/// <param name="Name">Its name below both folders.</param>
/// <param name="Outcome">What became of it.</param>
/// <param name="Difference">Two documents compared; null if they are the same byte for byte, no documents, or not both there.</param>
/// <param name="Fault">Why it cannot be compared, or null.</param>
internal sealed record FileComparison(string Name, FileOutcome Outcome, DocumentComparison? Difference = null, Diagnostic? Fault = null);

/// <summary>What became of one file between two folders.</summary>
internal enum FileOutcome
{
    /// <summary>It counts as the same.</summary>
    Same,

    /// <summary>It differs by more than is allowed.</summary>
    Different,

    /// <summary>Only the first folder has it.</summary>
    Missing,

    /// <summary>Only the second folder has it.</summary>
    New,

    /// <summary>The two cannot be compared; a message says why.</summary>
    Unreadable,
}
