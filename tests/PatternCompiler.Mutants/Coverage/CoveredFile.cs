namespace PatternCompiler.Mutants.Coverage;

/// <summary>What tests reach of a source file.</summary>
/// <param name="File">Path below <c>src/PatternCompiler</c>.</param>
/// <param name="Hits">How often each line with code runs.</param>
/// <param name="BranchesTaken">Ways out of conditions that were taken.</param>
/// <param name="Branches">Ways out of conditions.</param>
internal sealed record CoveredFile(string File, SortedDictionary<int, long> Hits, int BranchesTaken, int Branches)
{
    /// <summary>The folder of the room, two levels where a room has parts.</summary>
    public string Room => string.Join('/', File.Split('/')[..^1].Take(2));

    /// <summary>Stretches of lines that no test runs, as <c>12-15, 20</c>.</summary>
    public string Missed
    {
        get
        {
            var stretches = new List<string>();
            int first = 0;
            int last = 0;
            foreach ((int line, long hits) in Hits)
            {
                if (hits == 0)
                {
                    (first, last) = (first == 0 ? line : first, line);
                }
                else
                {
                    Close();
                }
            }

            Close();
            return string.Join(", ", stretches);

            void Close()
            {
                if (first > 0)
                {
                    stretches.Add(first == last ? $"{first}" : $"{first}-{last}");
                }

                first = 0;
            }
        }
    }
}
