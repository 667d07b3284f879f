using System.Net.Security;
using System.Security.Cryptography.X509Certificates;

namespace AgeWatch.Server.Mail;

/// <summary>Trust in a certificate authority of the operator's own, and in no other.</summary>
internal static class PrivateAuthority
{
    public static bool Vouches(string caFile, X509Certificate? certificate, X509Chain? offered, SslPolicyErrors errors)
    {
        // Only the chain may be judged anew; a wrong host name or no certificate stays wrong.
        if (certificate is null || (errors & ~SslPolicyErrors.RemoteCertificateChainErrors) != SslPolicyErrors.None)
        {
            return false;
        }

        using var chain = new X509Chain();
        chain.ChainPolicy.TrustMode = X509ChainTrustMode.CustomRootTrust;
        chain.ChainPolicy.RevocationMode = X509RevocationMode.NoCheck;
        chain.ChainPolicy.CustomTrustStore.ImportFromPemFile(caFile);
        if (offered is not null)
        {
            chain.ChainPolicy.ExtraStore.AddRange(offered.ChainElements.Select(element =>
                element.Certificate).ToArray());
        }

        using var leaf = X509CertificateLoader.LoadCertificate(certificate.GetRawCertData());
        return chain.Build(leaf);
    }
}
