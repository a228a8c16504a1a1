#include <QCoreApplication>
#include <QEventLoop>
#include <QNetworkAccessManager>
#include <QNetworkReply>
#include <QNetworkRequest>
#include <QUrl>

#include "app/book/time_stamp.h"

namespace app::book {

namespace {
vision::Error NoAnswer(const QUrl& url, const std::string& why) {
  return {vision::ErrorCode::kIo, "No trusted time from " +
                                      url.toDisplayString(QUrl::RemoveUserInfo | QUrl::RemoveQuery).toStdString() +
                                      ": " + why + "."};
}

/// What came, once it is all there; `too_much` where more came than is taken.
QByteArray Wait(QNetworkReply& reply, std::size_t most_bytes, bool& too_much) {
  QByteArray answer;
  QEventLoop loop;
  QObject::connect(&reply, &QNetworkReply::readyRead, &loop, [&] {
    answer += reply.readAll();
    too_much = static_cast<std::size_t>(answer.size()) > most_bytes;
    if (too_much) reply.abort();
  });
  QObject::connect(&reply, &QNetworkReply::finished, &loop, &QEventLoop::quit);
  if (!reply.isFinished()) loop.exec();
  return answer += reply.readAll();
}
}  // namespace

vision::Result<std::string> AskAuthority(const std::string& address, const std::string& request,
                                         const TimeOptions& options) {
  if (auto wrong = options.Check()) return *wrong;
  const QUrl url(QString::fromStdString(address), QUrl::StrictMode);
  if (!url.isValid() || url.host().isEmpty() || (url.scheme() != "http" && url.scheme() != "https"))
    return vision::BadInput("A time-stamping authority is an address such as http://time.example/stamp; this is none.");
  QNetworkAccessManager network;
  QNetworkRequest query(url);
  query.setHeader(QNetworkRequest::ContentTypeHeader, "application/timestamp-query");  // RFC 3161, 3.4
  query.setAttribute(QNetworkRequest::RedirectPolicyAttribute, QNetworkRequest::ManualRedirectPolicy);
  query.setTransferTimeout(options.most_wait_ms);
  const std::unique_ptr<QNetworkReply> reply(network.post(query, QByteArray::fromStdString(request)));
  bool too_much = false;
  const QByteArray answer = Wait(*reply, options.most_bytes, too_much);
  if (too_much) return NoAnswer(url, "it answers with more than " + std::to_string(options.most_bytes) + " bytes");
  const int status = reply->attribute(QNetworkRequest::HttpStatusCodeAttribute).toInt();
  if (status != 0 && status != 200) return NoAnswer(url, "it answers with status " + std::to_string(status));
  if (reply->error() != QNetworkReply::NoError) return NoAnswer(url, "it does not answer in time or not at all");
  if (reply->header(QNetworkRequest::ContentTypeHeader).toString() != "application/timestamp-reply")
    return NoAnswer(url, "what it answers is no time stamp");
  return answer.toStdString();
}

}  // namespace app::book
