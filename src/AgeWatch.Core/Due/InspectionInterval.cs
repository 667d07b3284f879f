namespace AgeWatch.Core.Due;

/// <summary>How often to look for a failure that gives warning.</summary>
/// <remarks>
/// NAVAIR 00-25-403: interval = PF/n with n = ln(Pacc)/ln(1 − θ), rounded up. PF is the shortest credible time from the
/// first sign to the failure, θ the chance that one look finds the sign, Pacc the accepted chance to miss it. With θ =
/// 0.9 and Pacc = 0.01 it is half the warning time (Moubray, RCM II, and SAE JA1012, from memory).
/// </remarks>
public static class InspectionInterval
{
    /// <summary>Half the warning time.</summary>
    public static decimal Half(decimal warningTime) => warningTime / 2;

    /// <summary>How many looks must fall into the warning time; at least 1.</summary>
    /// <param name="detection">Chance that one look finds the sign, between 0 and 1.</param>
    /// <param name="acceptedMiss">Accepted chance to miss it in all looks, between 0 and 1.</param>
    public static int Looks(double detection, double acceptedMiss)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(detection);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(detection, 1);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(acceptedMiss);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(acceptedMiss, 1);

        // ln 0.01 / ln 0.1 is 1.9999999999999996 in doubles: the slack keeps an exact 2 from becoming 3 or 1.
        return Math.Max(1, (int)Math.Ceiling(Math.Log(acceptedMiss) / Math.Log(1 - detection) - 1e-9));
    }

    /// <summary>The interval, in the unit of <paramref name="warningTime"/>.</summary>
    /// <param name="leadTime">Time needed to act once the sign is seen; less than the warning time.</param>
    public static double Of(double warningTime, double detection, double acceptedMiss, double leadTime = 0)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(leadTime);
        ArgumentOutOfRangeException.ThrowIfGreaterThanOrEqual(leadTime, warningTime);
        return (warningTime - leadTime) / Looks(detection, acceptedMiss);
    }

    /// <summary>Chance that no look finds the sign in time, when the looks come at any phase of the warning
    /// time.</summary>
    /// <param name="usableTime">Warning time less the time to act.</param>
    public static double MissChance(double usableTime, double interval, double detection)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(interval);
        var looks = usableTime / interval;
        var whole = Math.Floor(looks + 1e-9);
        var part = Math.Max(0, looks - whole);
        return (1 - part) * Math.Pow(1 - detection, whole) + part * Math.Pow(1 - detection, whole + 1);
    }
}
