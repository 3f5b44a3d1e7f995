namespace PatternCompiler.Diagnostics;

/// <summary>Finds what a mistyped word was probably meant to be.</summary>
internal static class NearestWord
{
    /// <summary>
    /// The known word with the fewest single-letter edits (insert, delete, replace, swap of neighbours), case ignored;
    /// null if none is close. Ties go to the first in the list.
    /// </summary>
    public static string? Find(string word, IEnumerable<string> known)
    {
        string? best = null;
        int bestDistance = Math.Max(1, word.Length / 3) + 1;
        foreach (string candidate in known)
        {
            int distance = Distance(word.ToLowerInvariant(), candidate.ToLowerInvariant());
            if (distance < bestDistance)
            {
                (best, bestDistance) = (candidate, distance);
            }
        }

        return best;
    }

    /// <summary>Optimal string alignment distance: edits that never touch the same place twice.</summary>
    private static int Distance(string a, string b)
    {
        int[,] cost = new int[a.Length + 1, b.Length + 1];
        for (int i = 0; i <= a.Length; i++)
        {
            cost[i, 0] = i;
        }

        for (int j = 0; j <= b.Length; j++)
        {
            cost[0, j] = j;
        }

        for (int i = 1; i <= a.Length; i++)
        {
            for (int j = 1; j <= b.Length; j++)
            {
                int replace = cost[i - 1, j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
                cost[i, j] = Math.Min(replace, 1 + Math.Min(cost[i - 1, j], cost[i, j - 1]));
                if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
                {
                    cost[i, j] = Math.Min(cost[i, j], cost[i - 2, j - 2] + 1);
                }
            }
        }

        return cost[a.Length, b.Length];
    }
}
