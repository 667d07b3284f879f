using System.Buffers.Text;
using System.Security.Cryptography;
using System.Text;

namespace AgeWatch.Server.Kernel.Secrets;

/// <summary>Keeps secrets that must be read again (webhook secrets) unreadable in the database and its
/// backups.</summary>
/// <remarks>AES-256-GCM. The name of the row is bound in, so that a sealed text moved to another row does not
/// open.</remarks>
internal sealed class SecretBox
{
    private const int NonceLength = 12;
    private const int TagLength = 16;

    private readonly (string Id, byte[] Key)[] _keys;

    /// <param name="keys">32 bytes each. The first seals; all open, so that a key can be replaced without losing
    /// anything.</param>
    public SecretBox(IReadOnlyList<byte[]> keys)
    {
        if (keys.Count == 0 || keys.Any(key => key.Length != 32))
        {
            throw new ArgumentException("At least one key, each of 32 bytes.", nameof(keys));
        }

        _keys = [.. keys.Select(key => (Convert.ToHexStringLower(SHA256.HashData(key).AsSpan(0, 4)), key))];
    }

    /// <param name="purpose">What and whose it is; the same text must be given to open it.</param>
    public string Seal(string secret, string purpose)
    {
        var (id, key) = _keys[0];
        var plain = Encoding.UTF8.GetBytes(secret);
        var box = new byte[NonceLength + plain.Length + TagLength];
        RandomNumberGenerator.Fill(box.AsSpan(0, NonceLength));
        using var aes = new AesGcm(key, TagLength);
        aes.Encrypt(
            box.AsSpan(0, NonceLength), plain, box.AsSpan(NonceLength, plain.Length), box.AsSpan(^TagLength..),
            Encoding.UTF8.GetBytes(purpose));
        return $"v1.{id}.{Base64Url.EncodeToString(box)}";
    }

    /// <exception cref="CryptographicException">Sealed with a key that is not here, for another purpose, or changed
    /// since.</exception>
    public string Open(string box, string purpose)
    {
        if (box.Split('.') is not ["v1", var id, var text]
            || Array.Find(_keys, k => k.Id == id) is not { Key: { } key })
        {
            throw new CryptographicException("The secret was sealed with a key that this server does not have.");
        }

        var bytes = Base64Url.DecodeFromChars(text);
        var plain = new byte[bytes.Length - NonceLength - TagLength];
        using var aes = new AesGcm(key, TagLength);
        aes.Decrypt(
            bytes.AsSpan(0, NonceLength), bytes.AsSpan(NonceLength, plain.Length), bytes.AsSpan(^TagLength..), plain,
            Encoding.UTF8.GetBytes(purpose));
        return Encoding.UTF8.GetString(plain);
    }
}
