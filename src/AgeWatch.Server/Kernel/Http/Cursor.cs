using System.Buffers.Text;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;

namespace AgeWatch.Server.Kernel.Http;

/// <summary>
/// Seals the place of a page so that it cannot be forged, and binds it to the club, the list and the filters it came
/// with. It grants nothing: what a key may see is decided again on each page.
/// </summary>
internal sealed class Cursor
{
    public const string SecretName = "cursor-seal";

    private const int SealLength = 16;

    private byte[]? _key;

    /// <summary>The secret all processes on one database share; set once at start.</summary>
    public void Use(byte[] key) => _key = key;

    public string Write(string scope, object[] place)
    {
        var payload = JsonSerializer.SerializeToUtf8Bytes(place, WireJson.Options);
        return Base64Url.EncodeToString([.. Seal(scope, payload), .. payload]);
    }

    /// <returns>Null when the text is not a cursor of this scope.</returns>
    public JsonElement[]? Read(string scope, string text)
    {
        if (!Base64Url.IsValid(text))
        {
            return null;
        }

        var bytes = Base64Url.DecodeFromChars(text);
        if (bytes.Length <= SealLength
            || !CryptographicOperations.FixedTimeEquals(
                Seal(scope, bytes.AsSpan(SealLength)), bytes.AsSpan(0, SealLength)))
        {
            return null;
        }

        return JsonSerializer.Deserialize<JsonElement[]>(bytes.AsSpan(SealLength));
    }

    public static Problem Refused() => Problems.InvalidParameter(
        "cursor", "not-valid", "Not a cursor of this list with these filters. Begin again without cursor.");

    private byte[] Seal(string scope, ReadOnlySpan<byte> payload)
    {
        var head = Encoding.UTF8.GetBytes(scope);
        byte[] sealedText = [.. BitConverter.GetBytes(head.Length), .. head, .. payload];
        var key = _key ?? throw new InvalidOperationException("The cursor seal was not set at start.");
        return HMACSHA256.HashData(key, sealedText)[..SealLength];
    }
}
