namespace AgeWatch.Server.Kernel.Checks;

/// <summary>Which addresses we send to: the plain form of RFC 5321, with a dot in the domain and nothing
/// quoted.</summary>
/// <remarks>
/// Narrower than the standard on purpose: quoted local parts, address literals and bare host names are legal and are,
/// in a member list, slips or attacks. A domain outside ASCII is written in its xn-- form.
/// </remarks>
internal static class MailAddressPolicy
{
    private const string AtomSymbols = "!#$%&'*+-/=?^_`{|}~";

    /// <returns>Why the address is refused, as a clause that follows the field's name; null when it is fine.</returns>
    public static string? Objection(string address)
    {
        if (address.Length > 254)
        {
            return "is longer than 254 characters";
        }

        var at = address.IndexOf('@', StringComparison.Ordinal);
        if (at < 0 || at != address.LastIndexOf('@'))
        {
            return "is not of the form name@example.org";
        }

        var local = address[..at];
        if (local.Length is 0 or > 64 || !local.Split('.').All(IsAtom))
        {
            return "has a part before the @ that mail servers do not agree on: use letters, digits, single dots and "
                + "the signs ! # $ % & ' * + - / = ? ^ _ ` { | } ~";
        }

        var labels = address[(at + 1)..].Split('.');
        if (labels.Length < 2 || !labels.All(IsLabel) || labels[^1].All(char.IsAsciiDigit))
        {
            return "has no full domain after the @ (write a domain outside ASCII in its xn-- form)";
        }

        return null;
    }

    private static bool IsAtom(string atom) =>
        atom.Length > 0
            && atom.All(c => char.IsAsciiLetterOrDigit(c) || AtomSymbols.Contains(c, StringComparison.Ordinal));

    private static bool IsLabel(string label) =>
        label.Length is > 0 and <= 63
        && label[0] != '-' && label[^1] != '-'
        && label.All(c => char.IsAsciiLetterOrDigit(c) || c == '-');
}
