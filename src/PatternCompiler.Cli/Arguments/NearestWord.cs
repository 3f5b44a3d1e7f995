namespace PatternCompiler.Cli.Arguments;

/// <summary>Finds what the user probably meant.</summary>
internal static class NearestWord
{
    /// <summary>The known word that takes fewest edits to reach, if it takes no more than a third of the word's length.</summary>
    public static string? Of(string word, IEnumerable<string> known)
    {
        int limit = Math.Max(1, word.TrimStart('-').Length / 3);
        return known
            .Select(candidate => (candidate, distance: Distance(word, candidate)))
            .Where(pair => pair.distance <= limit)
            .OrderBy(pair => pair.distance)
            .ThenBy(pair => pair.candidate, StringComparer.Ordinal)
            .Select(pair => pair.candidate)
            .FirstOrDefault();
    }

    private static int Distance(string a, string b)
    {
        var row = new int[b.Length + 1];
        for (int j = 0; j <= b.Length; j++)
        {
            row[j] = j;
        }

        for (int i = 1; i <= a.Length; i++)
        {
            int diagonal = row[0];
            row[0] = i;
            for (int j = 1; j <= b.Length; j++)
            {
                int above = row[j];
                row[j] = Math.Min(Math.Min(row[j - 1], above) + 1, diagonal + (a[i - 1] == b[j - 1] ? 0 : 1));
                diagonal = above;
            }
        }

        return row[b.Length];
    }
}
