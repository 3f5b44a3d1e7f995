using System.Globalization;
using System.Text;
using PatternCompiler.Instrument;
using PatternCompiler.Model;

namespace PatternCompiler.Jobs;

/// <summary>
/// Digests of settings, taken over the values that change what is written, as they hold after defaults: a comment, an order of
/// keys or a default written out changes nothing. Names, link, stage, beam energy and the level of the blank line (which headers state) change no record and are left out.
/// </summary>
internal static class SettingsDigests
{
    /// <summary>Digest of the machine: converters, field, calibration, settling, clock, blanker, beam and parking place.</summary>
    public static SettingsDigest Of(Machine machine) => Of("machine 1", machine.Lines);

    /// <summary>Digest of process and dose: base doses, tone, response and spread of the resist.</summary>
    public static SettingsDigest Of(Resist process) => Of("process 2", process.Lines);

    /// <summary>Numbers as the shortest text that gives the same number again, whatever the culture; zeros of either sign are one.</summary>
    private static SettingsDigest Of(string form, IEnumerable<SettingLine> lines)
    {
        var text = new StringBuilder(form).Append('\n');
        foreach (SettingLine line in lines)
        {
            text.Append(line.Name);
            foreach (double number in line.Numbers)
            {
                text.Append(' ').Append((number + 0.0).ToString("R", CultureInfo.InvariantCulture));
            }

            text.Append('\n');
        }

        return SettingsDigest.Of(Encoding.ASCII.GetBytes(text.ToString()));
    }
}
