using System.Text;

namespace PatternCompiler.EndToEnd;

/// <summary>What a run left: exit code, bytes of standard output, text of standard error.</summary>
internal sealed record Outcome(int ExitCode, byte[] OutputBytes, string Errors)
{
    /// <summary>Standard output as text.</summary>
    public string Output => Encoding.UTF8.GetString(OutputBytes);

    /// <summary>Asserts the exit code, showing the messages when it is another.</summary>
    public Outcome Expect(int exitCode)
    {
        Assert.True(ExitCode == exitCode, $"exit code {ExitCode}, expected {exitCode}; standard error:\n{Errors}");
        return this;
    }
}
