namespace PatternCompiler.Calibration.BlankerCurrent;

/// <summary>
/// Which of a blanker's parameters are fitted, and where each stands: currents as parts of the largest reading, times in
/// microseconds, time constants as logarithms.
/// </summary>
/// <param name="HasLeak">The leak is fitted; else it is none.</param>
/// <param name="HasOnDelay">The on delay is fitted; else it counts as none, and delays are differences.</param>
/// <param name="HasOffDelay">The off delay, or the difference, is fitted.</param>
/// <param name="HasRise">The time constant of the rise is fitted; else the beam is on at once.</param>
/// <param name="HasFall">The time constant of the fall is fitted.</param>
internal sealed record BlankerModel(bool HasLeak, bool HasOnDelay, bool HasOffDelay, bool HasRise, bool HasFall)
{
    private const double SlopeStep = 1e-6;
    private const double MostPeriods = 4;

    /// <summary>Parameters that are fitted.</summary>
    public int Count => 1 + Index(5);

    /// <summary>Place of the leak among them.</summary>
    public int Leak => 1 + Index(0);

    /// <summary>Place of the on delay.</summary>
    public int OnDelay => 1 + Index(1);

    /// <summary>Place of the off delay or the difference.</summary>
    public int OffDelay => 1 + Index(2);

    /// <summary>Place of the rise.</summary>
    public int Rise => 1 + Index(3);

    /// <summary>Place of the fall.</summary>
    public int Fall => 1 + Index(4);

    /// <summary>Mean current of a reading.</summary>
    public double At(ReadOnlySpan<double> p, in CupReading reading)
    {
        double leak = HasLeak ? p[Leak] : 0;
        double open, inCup;
        if (reading.IsSteady)
        {
            (open, inCup) = (reading.Duty, 1);
        }
        else
        {
            var beam = new SwitchedBeam(
                reading.OnMicroseconds, reading.OffMicroseconds,
                HasOnDelay ? p[OnDelay] : 0, HasOffDelay ? p[OffDelay] : 0,
                HasRise ? Math.Exp(p[Rise]) : 0, HasFall ? Math.Exp(p[Fall]) : 0);
            (open, inCup) = reading.Deflection switch
            {
                CupDeflection.Leaves => (beam.MeanWhileOn, reading.Duty),
                CupDeflection.Enters => (beam.MeanWhileOff, 1 - reading.Duty),
                _ => (beam.Mean, 1),
            };
        }

        return p[0] * (open + leak * (inCup - open));
    }

    /// <summary>What is measured less what is modelled, as parts of the largest reading; slopes by central differences.</summary>
    public ResidualModel Residuals(CupReading[] readings, double scale)
    {
        // Delays of several periods, and edges that last for many, would change nothing that is measured.
        double longest = readings.Where(reading => !reading.IsSteady).Max(reading => reading.PeriodMicroseconds);

        // Readings at one setting, told apart by noise alone, have one value of the model.
        var setting = new Dictionary<CupReading, int>();
        int[] settingOf = Array.ConvertAll(readings, reading => NumberOf(reading with { Picoamperes = 0, Row = 0 }));
        CupReading[] settings = [.. setting.OrderBy(pair => pair.Value).Select(pair => pair.Key)];
        double[] modelled = new double[settings.Length], modelledSlopes = new double[settings.Length * Count];
        return (parameters, residuals, slopes) =>
        {
            if ((HasOnDelay && !(Math.Abs(parameters[OnDelay]) < MostPeriods * longest))
                || (HasOffDelay && !(Math.Abs(parameters[OffDelay]) < MostPeriods * longest))
                || (HasRise && !(Math.Exp(parameters[Rise]) < MostPeriods * longest))
                || (HasFall && !(Math.Exp(parameters[Fall]) < MostPeriods * longest)))
            {
                return false;
            }

            int count = parameters.Length;
            Span<double> moved = stackalloc double[count];
            for (int i = 0; i < settings.Length; i++)
            {
                modelled[i] = At(parameters, settings[i]);
                for (int k = 0; k < count; k++)
                {
                    double step = SlopeStep * (1 + Math.Abs(parameters[k]));
                    parameters.CopyTo(moved);
                    moved[k] = parameters[k] + step;
                    double above = At(moved, settings[i]);
                    moved[k] = parameters[k] - step;
                    modelledSlopes[i * count + k] = (At(moved, settings[i]) - above) / (2 * step);
                }
            }

            for (int i = 0; i < readings.Length; i++)
            {
                residuals[i] = readings[i].Picoamperes / scale - modelled[settingOf[i]];
                modelledSlopes.AsSpan(settingOf[i] * count, count).CopyTo(slopes[(i * count)..]);
            }

            return true;
        };

        int NumberOf(CupReading alone)
        {
            setting.TryAdd(alone, setting.Count);
            return setting[alone];
        }
    }

    private int Index(int place)
    {
        int index = 0;
        ReadOnlySpan<bool> has = [HasLeak, HasOnDelay, HasOffDelay, HasRise, HasFall];
        foreach (bool one in has[..place])
        {
            index += one ? 1 : 0;
        }

        return index;
    }
}
