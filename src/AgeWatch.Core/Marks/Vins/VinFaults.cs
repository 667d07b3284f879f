namespace AgeWatch.Core.Marks.Vins;

/// <summary>Names signs that cannot stand in a VIN and what was probably meant.</summary>
internal static class VinFaults
{
    public static List<VinFault> Of(string vin)
    {
        List<VinFault> faults = [];
        for (var i = 0; i < vin.Length; i++)
        {
            if (Meant(vin[i]) is { } perhaps)
            {
                faults.Add(new(i
                    + 1, vin[i], $"The letter {vin[i]} is never used in a VIN; position {i + 1} is probably {perhaps}.",
                    perhaps));
            }
            else if (!char.IsAsciiDigit(vin[i]) && !char.IsAsciiLetterUpper(vin[i]))
            {
                faults.Add(new(i + 1, vin[i], $"The sign in position {i + 1} is neither a letter nor a figure.", null));
            }
            else if (i == 8 && vin[i] is not ('X' or (>= '0' and <= '9')) && vin[0] is >= '1' and <= '5')
            {
                faults.Add(new(9, vin[i], "The check digit in position 9 is a figure or X.", null));
            }
        }

        return faults;
    }

    /// <summary>Whether the number with every probable sign put in has an agreeing check digit.</summary>
    public static bool AgreesWhenReplaced(string vin, List<VinFault> faults)
    {
        var replaced = vin.ToCharArray();
        foreach (var fault in faults)
        {
            if (fault.Perhaps is not { } perhaps)
            {
                return false;
            }

            replaced[fault.Position - 1] = perhaps;
        }

        return Vin.CheckDigit(replaced) == replaced[8];
    }

    /// <summary>O and Q are taken for 0, I for 1.</summary>
    private static char? Meant(char sign) => sign switch
    {
        'I' => '1',
        'O' or 'Q' => '0',
        _ => null,
    };
}
