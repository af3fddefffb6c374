"""Uploaded documents and photos: typed by what they hold, named harmlessly, kept in a folder under their hash."""

from service.infrastructure.files.content import CheckedContent as CheckedContent
from service.infrastructure.files.content import check_content as check_content
from service.infrastructure.files.disk import FilesOnDisk as FilesOnDisk
from service.infrastructure.files.names import clean_name as clean_name
from service.infrastructure.files.stored import MEDIA_TYPES as MEDIA_TYPES
from service.infrastructure.files.stored import PURPOSES as PURPOSES
from service.infrastructure.files.stored import StoredFile as StoredFile
